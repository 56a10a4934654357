"""What a row says of its view, and the view that this is."""

from collections import Counter

from bitewright.sheets.asked_meanings import RETAKE_KEPT
from bitewright.sheets.cells import cell_text, word_of
from bitewright.sheets.said_above import ABOVE
from bitewright.sheets.table_body import Row
from bitewright.sheets.takes import without_second
from bitewright.sheets.understanding import Understanding
from bitewright.sheets.view_words import (
    NOT_INTRAORAL,
    has_both_sides,
    has_place,
    is_place,
    teeth_in,
    view_in,
)
from bitewright.sheets.word_meanings import is_doubtful

DASHES = "-\u2013\u2014./"
"""Signs that stand where nothing is said."""
OTHER_SORTS = frozenset({"periapical", "occlusal", NOT_INTRAORAL})
TOLD = 0.85
"""Share of rows that say where their film was taken, from which one that does not is a slip."""
MOSTLY = 0.8
"""Share of bitewings that tell their side, from which one that does not is half told. Our
choice."""


def written_view(sheet: Understanding, row: Row) -> str:
    """All that a row says of its view, as one text.

    What a line above says of its rows does not hold for one that names another sort of film itself,
    and that a film was made again is no part of its view.
    """
    texts = [
        (name, text)
        for target in ("view", "side", "region", "teeth")
        for name in sheet.headings(target)
        if (text := cell_text(row.cells.get(name)))
    ]
    texts = [(name, without_letter(sheet, text)) for name, text in texts]
    own = [without_second(text) for name, text in texts if name != ABOVE["view"]]
    if len(own) < len(texts) and view_in(" ".join(own)) in OTHER_SORTS:
        return " ".join(own)
    return " ".join(without_second(text) for _, text in texts)


def without_letter(sheet: Understanding, text: str) -> str:
    """A view without a letter behind it that a legend says marks retakes: "R4-5 r"."""
    before, _, last = text.rpartition(" ")
    told = sheet.words.get("decision", {}).get(word_of(last)) if len(last) == 1 and before else None
    return before if told in {"retaken", RETAKE_KEPT} else text


def known_view(written: str, kind: str, usual: str | None) -> str | None:
    """The view of what is written; ``kind``: of every row, ``usual``: of nearly every other row."""
    view = view_in(written) if written else None
    if view is None and kind and (not word_of(written).strip(DASHES) or has_place(written)):
        view = view_in(f"{kind} {written}") or kind
    if view is None and _is_of_one_tooth(written):
        view = "periapical"
    if is_doubtful(written):
        return view if view == "bitewing" and not has_place(written) else None
    if view is None and usual and is_place(written):
        view = view_in(f"{usual} {written}")
    return None if view == "bitewing" and has_both_sides(written) else view


OF_A_TOOTH = frozenset(
    {"rx", "rad", "film", "tooth", "zahn", "dent", "dente", "diente", "tand", "zub", "zab", "dinte"}
    | {"rvg", "radio", "rontgen", "rtg", "xray", "lastra", "placa", "cliche", "foto", "bild"}
)
"""Words that say no more than that a film is of a tooth. Common practice, no source."""


def _is_of_one_tooth(written: str) -> bool:
    """Whether a film is named by one tooth and no sort of film, as a periapical one is."""
    words = [word for word in word_of(written).split() if not word.isdigit()]
    return len(teeth_in(written)) == 1 and bool(words) and OF_A_TOOTH.issuperset(words)


def regions_told(sheet: Understanding) -> bool:
    """Whether nearly all bitewings of a sheet tell their side and their region."""
    return _are_told(sheet, frozenset({"bitewing", "right-bitewing", "left-bitewing"}))


def _are_told(sheet: Understanding, too_little: frozenset[str]) -> bool:
    kind = sheet.all_views or sheet.given.answers.get("view") or ""
    counts = Counter(written_view(sheet, row) for row in sheet.table.rows)
    told = bitewings = 0
    for text, count in counts.items():
        explained = sheet.words.get("view", {}).get(word_of(text))
        view = explained or known_view(text, kind, sheet.usual_view)
        if view is not None and view not in OTHER_SORTS:
            bitewings += count
            told += count * (view not in too_little)
    return told >= MOSTLY * bitewings > 0


def places_told(sheet: Understanding) -> list[str]:
    """The sheet's own columns of views and places, where all but a few rows say something there."""
    names = [
        name
        for target in ("view", "side", "region", "teeth")
        for name in sheet.headings(target)
        if name not in ABOVE.values()
    ]
    told = sum(any(name in row.cells for name in names) for row in sheet.table.rows)
    return names if told >= TOLD * len(sheet.table.rows) else []


__all__ = ["known_view", "places_told", "regions_told", "written_view"]

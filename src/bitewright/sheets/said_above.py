"""What a line above rows says of all of them: their day, who exposed, the view, the room."""

import re
from collections.abc import Sequence

from bitewright.sheets.cells import Cell, cell_text, plain
from bitewright.sheets.dates import parts_of
from bitewright.sheets.pseudonyms import has_title
from bitewright.sheets.view_words import NOT_INTRAORAL, is_place, view_in
from bitewright.sheets.vocabulary import heading_scores, meanings
from bitewright.sheets.word_meanings import ORDINAL, kind_word, looks_like_name

COLOUR, NO_COLOUR = "row colour", "no colour"
ABOVE = {
    "day": "day above",
    "operator": "operator above",
    "supervisor": "supervisor above",
    "decided_by": "decider above",
    "view": "view above",
    "room": "room above",
    "receptor": "receptor above",
    "holder": "holder above",
    "level": "level above",
    "case": "patient above",
    "kind": "kind above",
    "decision": COLOUR,
}
"""The heading under which each is shown."""
OF_LINES = ABOVE.keys() - {"decision"}
"""What a line may say of the rows below it."""
NAMED = re.compile(r"\s*([^:=]{1,40}?)\s*[:=]\s*(\S.*)")
DAY = re.compile(
    r"(?<!\d)(?:\d{4}[-./]\d{1,2}[-./]\d{1,2}|\d{1,2}\s?[-./]\s?\d{1,2}\s?[-./]\s?(?:\d{4}|\d{2})"
    r"|\d{1,2}(?:st|nd|rd|th|\.|er|º)?\s+(?:de\s+)?[^\W\d]{3,12}\.?,?\s+(?:de\s+)?\d{2,4}"
    r"|[^\W\d]{3,12}\s+\d{1,2}(?:st|nd|rd|th)?,?\s+\d{4}|\d{1,2}\.\s?\d{1,2}\.)(?!\d)"
)
FIRST_COUNTED, LAST_COUNTED = 40_000, 47_500
"""A spreadsheet's own count of days from 2009 to 2030, alone on a line. Our choice."""
LEAST = 1.8
"""How well a label before a colon must fit what it names. Our choice."""
LONGEST_LINE = 60
LEGEND = re.compile(r"[^\W_]{1,4}\s*=\s*\S")
"""A code with its meaning: what stands behind "Region:" is then a legend and no region."""
MOST_WORDS = 4
MAYBE_OPERATOR = "maybe operator"
"""A line that may be a name: of who exposed, where nothing else tells."""


def said_in_title(text: str) -> dict[str, Cell]:
    """What a title says with a label before it: "Operator: J. Ames", "Room = 2"."""
    said: dict[str, Cell] = {}
    for piece in re.split(r"\s{3,}|[;|]|\s[\u2013\u2014]\s", text):
        found = NAMED.fullmatch(piece.strip())
        if found is None or len(found[2]) > LONGEST_LINE or LEGEND.match(found[2]):
            continue
        scores = {name: fit for name, fit in heading_scores(found[1]).items() if name in OF_LINES}
        if not scores:
            continue
        target = max(scores, key=lambda name: scores[name])
        value = found[2].strip()
        if scores[target] < LEAST or (target == "day" and day_within(value) is None):
            continue
        said[target] = day_within(value) if target == "day" else value
    return said


def said_in_pairs(row: Sequence[Cell]) -> dict[str, Cell]:
    """What a row says that holds nothing but labels with a colon, each with its value behind it."""
    texts = [text for cell in row if (text := cell_text(cell))]
    labels, values = texts[::2], texts[1::2]
    if not texts or len(labels) != len(values) or not all(map(_is_label, labels)):
        return {}
    said: dict[str, Cell] = {}
    for label, value in zip(labels, values, strict=True):
        said |= said_in_title(f"{label} {value}")
    return said


def _is_label(text: str) -> bool:
    return text.rstrip().endswith(":")


def said_between(text: str) -> dict[str, Cell]:  # noqa: PLR0911  one a thing
    """What a line alone between rows says, with a label or without one."""
    said = said_in_title(text)
    if said or len(text) > LONGEST_LINE:
        return said
    day = day_within(text)
    if day is not None:
        return {"day": day, **_who_beside(text.replace(day, " "))}
    words = plain(text).split()
    if not words or len(words) > MOST_WORDS:
        return {}
    if view_in(text) not in {None, NOT_INTRAORAL} or is_place(text):
        return {"view": _film_alone(text)}
    if has_title(text):
        return {"operator": text}
    named = " ".join(word for word in words if not word.isdigit())
    told = " ".join(word for word in named.split() if ORDINAL.fullmatch(word) is None)
    if meanings("kinds").get(named) == "retake" or (told and kind_word(told) == "retake"):
        return {"kind": text}
    room = heading_scores(text).get("room", 0.0)
    if room > 0 and any(word.isdigit() for word in words):
        return {"room": text}
    is_name = len(words) <= 2 and looks_like_name(text) and not heading_scores(text)
    is_name = is_name and all(word[:1].isupper() for word in text.split())
    return {MAYBE_OPERATOR: text} if is_name else {}


def _film_alone(text: str) -> str:
    """What a title says of a film, without its other words and its year."""
    known = {*meanings("films"), *meanings("sides"), *meanings("regions")}
    kept = [word for word in re.split(r"[\s,;:|]+", text) if plain(word) in known]
    alone = " ".join(kept)
    return alone if kept and view_in(alone) == view_in(text) else text


def _who_beside(text: str) -> dict[str, Cell]:
    """Who exposed, where initials or a name stand with the day."""
    weekdays = meanings("weekdays")
    words = [word for word in re.split(r"[\s,;:|\u2013\u2014-]+", text) if plain(word)]
    words = [word for word in words if plain(word) not in weekdays]
    name = " ".join(words)
    if not 1 <= len(words) <= 3 or any(map(str.isdigit, name)) or heading_scores(name):
        return {}
    if has_title(name):
        return {"operator": name}
    is_code = len(words) == 1 and len(name) <= 4 and name.isupper()
    return {MAYBE_OPERATOR: name} if is_code or looks_like_name(name) else {}


def day_within(text: str) -> str | None:
    """The day that a line holds, as written; None where it holds none."""
    if parts_of(text) is not None and not text.strip().isdigit():
        return text.strip()
    counted = text.strip()
    if counted.isdigit() and FIRST_COUNTED <= int(counted) <= LAST_COUNTED:
        parts = parts_of(counted, counted=True)
        if parts is not None:
            return f"{parts.year:04d}-{parts.two:02d}-{parts.one:02d}"
    found = DAY.search(text)
    return found[0] if found and parts_of(found[0]) is not None else None


__all__ = [
    "ABOVE",
    "COLOUR",
    "MAYBE_OPERATOR",
    "NO_COLOUR",
    "day_within",
    "said_between",
    "said_in_pairs",
    "said_in_title",
]

"""Marks of films on the light box: checked as a marks file is, kept, and told as one."""

import json
from collections.abc import Mapping
from functools import lru_cache
from typing import Any

from bitewright.equipment.catalogue import Catalogue
from bitewright.errors import BitewrightError, quoted
from bitewright.explanation.chairside_answers import ChairsideQuestion
from bitewright.files.json_documents import check_document
from bitewright.files.marks_file import MARKS_FORMAT, marks_from_document
from bitewright.marking.closed_on_film import closed_on_film
from bitewright.marking.marks import MarkedFilm, MarkOrigin, NumbersSaid
from bitewright.mouth.numbering import parse_tooth
from bitewright.quality.views import view, view_names
from bitewright.quality.wanted import Pair
from bitewright.store.light_box import KeptFilm, LightBoxStore
from bitewright.tasks.assess.chairside_answers import check_ring
from bitewright.tasks.catalogue.named import equipment

CHANGE_FORMAT = "bitewright.marks-change/1"
SCHEMAS = {CHANGE_FORMAT: "marks-change-1.json"}
MARK_FIELDS = frozenset(
    {"view", "receptor", "holder", "pixel_mm", "mounting", "mark_sd_mm", "marks", "absent_teeth"}
    | {
        "observations",
        "note",
        "marked_by",
        "rim_flush",
        "answers",
        "patient",
        "taken_on",
        "proposed",
        "numbers",
    }
)
BESIDE_THE_MARKS = frozenset({"holder", "rim_flush", "answers"})
"""Told of the exposure, and no part of a marks file."""


def change_marks(
    store: LightBoxStore, number: int, marks: Mapping[str, Any], *, version: int
) -> KeptFilm:
    """Check new marks as a marks file is checked, and keep them.

    Raises
    ------
    BitewrightError
        If they are not whole, or were changed elsewhere meanwhile; the old ones stay.
    """
    film = store.film(number)
    check_marks(marks, columns=film.columns, rows=film.rows)
    _check_ring(marks)
    return store.change_marks(number, marks, version=version)


def _check_ring(marks: Mapping[str, Any]) -> None:
    """Refuse answers about rim and ring of a holder without one."""
    holder = equipment().holders.get(marks.get("holder") or "")
    answered = [*(["rim"] if "rim_flush" in marks else []), *marks.get("answers", {})]
    if holder is not None:
        check_ring(holder, map(ChairsideQuestion, answered))


def check_marks(marks: Mapping[str, Any], *, columns: int, rows: int) -> None:
    """Refuse marks of a film of a size that are not whole, or name what no film can have. [px]

    Raises
    ------
    BitewrightError
    """
    for name in marks:
        if name not in MARK_FIELDS:
            raise UnknownMarksFieldError(str(name))
    change = {"format": CHANGE_FORMAT, "version": 0, "marks": dict(marks)}
    check_document(change, "The marks", schemas=SCHEMAS)
    if marks.get("view"):
        image = {"file": "film", "columns": columns, "rows": rows}
        marks_from_document(_whole(image, marks))
        view(marks["view"])
    elif marks.get("marks"):
        raise NoViewError
    for code in marks.get("absent_teeth", ()):
        parse_tooth(int(code))


def usable_marks(film: KeptFilm) -> tuple[Mapping[str, Any], str]:
    """The marks kept of a film, and an empty text; none, and why, if they cannot be used.

    What was kept by an earlier version, or changed by another program, was not checked as
    `change_marks` does.
    """
    why_not = _why_not_usable(json.dumps(film.marks), film.columns, film.rows)
    return ({}, why_not) if why_not else (film.marks, "")


@lru_cache(maxsize=4096)
def _why_not_usable(marks: str, columns: int, rows: int) -> str:
    try:
        check_marks(json.loads(marks), columns=columns, rows=rows)
    except BitewrightError as error:
        return str(error)
    return ""


def marks_for_file(film: KeptFilm) -> dict[str, Any]:
    """The marks as a marks file holds them, with the pixel size that the film's file stated.

    Raises
    ------
    NoViewError
    """
    document = _stated(film)
    if film.pixel_mm and "pixel_mm" not in document:
        document["pixel_mm"] = film.pixel_mm
    return document


def _stated(film: KeptFilm) -> dict[str, Any]:
    """The marks as a person stated them."""
    marks, why_not = usable_marks(film)
    if why_not:
        raise MarksNotUsableError(film, why_not)
    if not marks.get("view"):
        raise NoViewError(film)
    image = {
        "file": own_name(film),
        "sha256": film.sha256,
        "columns": film.columns,
        "rows": film.rows,
    }
    return _whole(image, marks)


def stated_marks(film: KeptFilm) -> MarkedFilm:
    """A film's marks as a person stated them.

    Raises
    ------
    NoViewError
        If nobody chose what it was taken for.
    BitewrightError
        If the marks are not whole.
    """
    return marks_from_document(_stated(film))


def closed_on_kept(film: KeptFilm, known: Catalogue) -> tuple[Pair, ...]:
    """Teeth that meet across missing ones by a film's marks; none where nothing tells its size.

    ``known`` has the receptor whose width tells it where neither marks nor file say the size of a
    pixel.

    Raises
    ------
    NoViewError, MarksNotUsableError
    """
    marks = stated_marks(film)
    pixel_mm = marks.pixel_mm or film.pixel_mm
    receptor = known.receptors.get(marks.receptor or "")
    if not pixel_mm and receptor is not None:
        pixel_mm = receptor.active_long_mm / max(film.columns, film.rows)
    return closed_on_film(marks, view(marks.view), pixel_mm=pixel_mm) if pixel_mm else ()


def marks_of_further(film: KeptFilm) -> MarkedFilm:
    """A further film's marks, called by the film's label; errors as `stated_marks`."""
    document = marks_for_file(film)
    document["image"] = document["image"] | {"file": _file_name(film)}
    return marks_from_document(document)


def others_of_visit(store: LightBoxStore, film: KeptFilm) -> tuple[KeptFilm, ...]:
    """Films of the same visit that say something of its mouth: those with a view and marks.

    None of which may be only proposed. Each picture counts once: two people's marks of one film are
    no two films.
    """
    once = {
        other.sha256: other
        for other in store.films()
        if other.visit == film.visit and other.sha256 != film.sha256 and _says_something(other)
    }
    return tuple(once.values())


def _says_something(film: KeptFilm) -> bool:
    marks, _ = usable_marks(film)
    given = marks.get("marks", {}).values()
    return (
        marks.get("view") in view_names()
        and marks.get("numbers") != NumbersSaid.ASKED.value
        and any("x_px" in mark for mark in given)
        and not any(mark.get("state") == MarkOrigin.PROPOSED.value for mark in given)
    )


def own_name(film: KeptFilm) -> str:
    """What assessments and marks files call a film: a label may name somebody."""
    return f"film-{film.id}"


def _file_name(film: KeptFilm) -> str:
    """A film's label as a file can bear it."""
    return "".join("-" if c in "/\\" else c for c in film.label).strip() or own_name(film)


class UnknownMarksFieldError(BitewrightError):
    """Marks were sent with a field that marks do not have."""

    def __init__(self, given: str) -> None:
        super().__init__(
            f"Marks have no field {quoted(given)}; they have {', '.join(sorted(MARK_FIELDS))}."
        )


class NoViewError(BitewrightError):
    """A film cannot be assessed before its view is chosen."""

    def __init__(self, film: KeptFilm | None = None) -> None:
        which = "The film" if film is None else f"The film '{film.label}'"
        super().__init__(f"{which} has no view yet: choose what it was taken for.")


class PixelSizeNotToldError(BitewrightError):
    """Nothing tells how large a film's pixels are."""

    def __init__(self, film: KeptFilm) -> None:
        super().__init__(
            f"The film '{film.label}' says no pixel size: choose its receptor, or give the size of "
            "a pixel under 'Name, visit, pixel size'."
        )


class MarksNotUsableError(BitewrightError):
    """Marks that were kept are not as marks have to be."""

    def __init__(self, film: KeptFilm, why: str) -> None:
        super().__init__(f"The marks kept of film {film.id} cannot be used: mark it anew. {why}")


def _whole(image: Mapping[str, Any], marks: Mapping[str, Any]) -> dict[str, Any]:
    stated = {name: marks[name] for name in MARK_FIELDS - BESIDE_THE_MARKS if marks.get(name)}
    return {
        "format": MARKS_FORMAT,
        "image": image,
        "mounting": "as-seen-from-the-tube",
        "marks": {},
        **stated,
    }


__all__ = [
    "change_marks",
    "check_marks",
    "closed_on_kept",
    "marks_for_file",
    "marks_of_further",
    "others_of_visit",
    "own_name",
    "stated_marks",
    "usable_marks",
]

"""Marks of films on the light box: checked as a marks file is, kept, and told as one."""

from collections.abc import Mapping
from typing import Any

from bitewright.errors import BitewrightError
from bitewright.files.marks_file import MARKS_FORMAT, marks_from_document
from bitewright.marking.marks import MarkedFilm
from bitewright.quality.views import view, view_names
from bitewright.store.light_box import KeptFilm, LightBoxStore

MARK_FIELDS = frozenset(
    {"view", "receptor", "holder", "pixel_mm", "mounting", "mark_sd_mm", "marks", "absent_teeth"}
    | {"observations", "note", "marked_by"}
)


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
    for name in marks:
        if name not in MARK_FIELDS:
            raise UnknownMarksFieldError(str(name))
    if marks.get("view"):
        marks_from_document(_whole(film, marks))
        view(marks["view"])
    elif marks.get("marks"):
        raise NoViewError(film)
    return store.change_marks(number, marks, version=version)


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
    if not film.marks.get("view"):
        raise NoViewError(film)
    return _whole(film, film.marks)


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


def marks_of_further(film: KeptFilm) -> MarkedFilm:
    """A further film's marks, called by the film's label; errors as `stated_marks`."""
    document = marks_for_file(film)
    document["image"] = document["image"] | {"file": _file_name(film)}
    return marks_from_document(document)


def others_of_visit(store: LightBoxStore, film: KeptFilm) -> tuple[KeptFilm, ...]:
    """Films of the same visit that say something of its mouth: those with a view and marks."""
    return tuple(
        other
        for other in store.films()
        if other.id != film.id
        and other.visit == film.visit
        and other.marks.get("view") in view_names()
        and any("x_px" in mark for mark in other.marks.get("marks", {}).values())
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
            f"Marks have no field {given[:40]!r}; they have {', '.join(sorted(MARK_FIELDS))}."
        )


class NoViewError(BitewrightError):
    """A film cannot be assessed before its view is chosen."""

    def __init__(self, film: KeptFilm) -> None:
        super().__init__(f"Film {film.id} has no view yet: choose what it was taken for.")


def _whole(film: KeptFilm, marks: Mapping[str, Any]) -> dict[str, Any]:
    image = {
        "file": own_name(film),
        "sha256": film.sha256,
        "columns": film.columns,
        "rows": film.rows,
    }
    stated = {name: marks[name] for name in MARK_FIELDS - {"holder"} if marks.get(name)}
    return {
        "format": MARKS_FORMAT,
        "image": image,
        "mounting": "as-seen-from-the-tube",
        "marks": {},
        **stated,
    }


__all__ = [
    "change_marks",
    "marks_for_file",
    "marks_of_further",
    "others_of_visit",
    "own_name",
    "stated_marks",
]

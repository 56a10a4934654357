"""Marks of films whose places are known, set a millimetre off: who names them.

By all other marks alone, with the picture's borders, and with a second look at the picture.
"""

import hashlib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from bitewright.equipment.catalogue import Catalogue, packaged_catalogue
from bitewright.errors import BitewrightError
from bitewright.estimation.allowances import kind_of
from bitewright.explanation.doubtful_marks import DoubtfulMark, doubtful_marks
from bitewright.marking.marked_landmarks import landmarks_from_marks
from bitewright.marking.marks import Mark, MarkedFilm
from bitewright.marking.picture_borders import picture_borders, with_second_look
from bitewright.marking.raw_image import RawImage
from bitewright.quality.views import view
from bitewright.steps import unwatched
from bitewright.tasks.assess.decoded_film import DecodedFilm
from bitewright.tasks.assess.estimate_visit import estimate_learned
from bitewright.tasks.assess.taken_film import TakenFilm
from bitewright.tasks.assess.usual_equipment import USUAL_HOLDER, USUAL_TUBE
from bitewright.tasks.assess.visit_films import VisitFilm, nearest_receptor
from bitewright.tasks.second_look import second_look
from trials.moved_marks import OFF_MM
from trials.proposed_films import JudgedFilm

Floats = NDArray[np.float64]

MARK_SD_MM = 0.15
STREAM = 210077
"""Keeps these draws apart from others of the same seed."""

MOVED = 4
"""Marks of each film that are set off, each by itself."""

KIND_WORDS = {
    "outline": "edge of a crown",
    "cej": "cementoenamel junction",
    "crest": "bone crest",
}


def marks_judged(film: JudgedFilm) -> dict[str, Any]:
    """Mark a film with a reader's noise, and again with one mark set off; what is named of each.

    An estimate is made anew for each, as a person would have it. Nothing but the number where no
    mouth can be estimated.
    """
    own = np.random.default_rng([STREAM, film.seed, film.number])
    right = _marked(
        film, {name: place + own.normal(0.0, MARK_SD_MM, 2) for name, place in _inside(film)}
    )
    known = packaged_catalogue()
    line: dict[str, Any] = {"film": film.number, "kind": film.kind, "is_other": film.is_other}
    try:
        good = _found(film, right, known)
    except BitewrightError:
        return line | {"good": [], "moved": []}
    line["good"] = [
        [kind_of(name), *(name in _names(each) for each in good)]
        for name in right.marks
        if name not in film.unsure
    ]
    line["moved"] = list(_moved(film, right, known, own))
    return line


def _moved(
    film: JudgedFilm, right: MarkedFilm, known: Catalogue, own: np.random.Generator
) -> Iterator[list[Any]]:
    """Kind, whether along the row, by whom it is named, and whether its place is told.

    Of marks whose places are the crowns' own.
    """
    for name in own.permutation(list(right.marks))[:MOVED]:
        if str(name) in film.unsure:
            continue
        way = own.uniform(0.0, 2.0 * np.pi)
        by = OFF_MM / film.pixel_mm * np.array([np.cos(way), np.sin(way)])
        mark = right.marks[str(name)]
        x, y = float((mark.x_px or 0.0) + by[0]), float((mark.y_px or 0.0) + by[1])
        if not (0.0 <= x <= right.columns and 0.0 <= y <= right.rows):
            continue
        marks = {**right.marks, str(name): replace(mark, x_px=x, y_px=y)}
        try:
            found = _found(film, replace(right, marks=marks), known)
        except BitewrightError:
            continue
        told = [each.is_shown_elsewhere for each in found[-1] if each.name == name]
        yield [
            kind_of(str(name)),
            bool(abs(by[0]) > abs(by[1])),
            *(name in _names(each) for each in found),
            any(told),
        ]


def _found(
    film: JudgedFilm, marks: MarkedFilm, known: Catalogue
) -> tuple[Sequence[DoubtfulMark], ...]:
    """What is doubted without the picture, with its borders, and with a second look as well.

    Raises
    ------
    BitewrightError
    """
    of_view = view(film.view)
    landmarks = landmarks_from_marks(marks, of_view, pixel_mm=film.pixel_mm)
    taken = VisitFilm(
        taken=TakenFilm(marks=marks, view=of_view, receptor=None),
        landmarks=landmarks,
        receptor=nearest_receptor(known, landmarks),
    )
    found, _ = estimate_learned(
        [taken], None, known.holder(USUAL_HOLDER), known.tube(USUAL_TUBE), begin=unwatched
    )
    beside = found.left_out[0]
    borders = picture_borders(film.pixels, marks, of_view, pixel_mm=film.pixel_mm)
    places = second_look(_decoded(film), taken.taken)
    again = with_second_look(borders, places, marks, of_view, pixel_mm=film.pixel_mm)
    return tuple(
        doubtful_marks(beside, landmarks.front_sign, seen) for seen in ({}, borders, again)
    )


def _decoded(film: JudgedFilm) -> DecodedFilm:
    raw = RawImage(pixels=film.pixels, bits=8, pixel_mm=film.pixel_mm, source="simulated")
    digest = hashlib.sha256(np.ascontiguousarray(film.pixels).tobytes()).hexdigest()
    return DecodedFilm(name=f"film {film.number}", sha256=digest, image=raw)


def _names(doubted: Sequence[DoubtfulMark]) -> set[str]:
    return {each.name for each in doubted}


def _inside(film: JudgedFilm) -> Iterator[tuple[str, Floats]]:
    """Places far enough from the film's edge that a reader's noise leaves them on it."""
    rows, columns = film.pixels.shape
    size = film.pixel_mm * np.array([columns, rows])
    for name, place in film.places_mm.items():
        if np.all((place > 4.0 * MARK_SD_MM) & (place < size - 4.0 * MARK_SD_MM)):
            yield name, place


def _marked(film: JudgedFilm, places_mm: Mapping[str, Floats]) -> MarkedFilm:
    rows, columns = film.pixels.shape
    return MarkedFilm(
        image_name=f"film {film.number}",
        columns=columns,
        rows=rows,
        view=film.view,
        pixel_mm=film.pixel_mm,
        mark_sd_mm=MARK_SD_MM,
        absent_teeth=film.lacks,
        marks={
            name: Mark(x_px=float(x / film.pixel_mm), y_px=float(y / film.pixel_mm))
            for name, (x, y) in places_mm.items()
        },
    )


def pictures_table(films: Sequence[Mapping[str, Any]]) -> str:
    """How often marks set off are named, by whom, and good ones."""
    moved = [each for film in films for each in film["moved"]]
    good = [each for film in films for each in film["good"]]
    by = ("by the other marks", "with borders", "with a second look")
    heads = ("marks set 1 mm off", *by, "told where", "good marks", *by)
    lines = [
        f"| marks | way | {' | '.join(heads)} |",
        "| --- | --- " + "| ---: " * len(heads) + "|",
    ]
    for kind, words in (("", "all"), *KIND_WORDS.items()):
        fine = [each for each in good if kind in ("", each[0])]
        for along, way in ((None, "any"), (True, "along the row"), (False, "up or down")):
            own = [
                each for each in moved if kind in ("", each[0]) and along in (None, bool(each[1]))
            ]
            shares = " | ".join(_share(each[k] for each in own) for k in (2, 3, 4, 5))
            said = "| | |" if along is not None else _good(fine)
            lines.append(f"| {words} | {way} | {len(own)} | {shares} | {said} |")
    return "\n".join(lines)


def _good(fine: Sequence[Sequence[Any]]) -> str:
    return " | ".join([str(len(fine)), *(_share(each[k] for each in fine) for k in (1, 2, 3))])


def _share(hits: Iterator[bool]) -> str:
    listed = list(hits)
    return f"{np.mean(listed):.1%}" if listed else ""


__all__ = ["marks_judged", "pictures_table"]

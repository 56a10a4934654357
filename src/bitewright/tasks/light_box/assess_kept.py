"""Assess and explain a film on the light box by the same tasks as `bitewright assess`."""

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from bitewright.errors import BitewrightError
from bitewright.explanation.chairside_answers import ChairsideQuestion
from bitewright.film.predicted_film import predicted_film
from bitewright.marking.marks import Mounting
from bitewright.report.svg import svg_of
from bitewright.steps import Begin, unwatched
from bitewright.store.light_box import KeptFilm
from bitewright.tasks.all_cores import all_cores
from bitewright.tasks.assess.assess_film import assess_film
from bitewright.tasks.assess.decoded_film import DecodedFilm
from bitewright.tasks.assess.drawing_files import explanation_drawing
from bitewright.tasks.assess.explain_film import BesideTheMarks, explain_film
from bitewright.tasks.assess.film_assessment import FilmAssessment
from bitewright.tasks.assess.read_quickly import make_ready, read_quickly
from bitewright.tasks.assess.taken_film import (
    UnconfirmedMarksError,
    UnconfirmedNumbersError,
    is_looked_at,
    looked_at,
    taken_film,
)
from bitewright.tasks.assess.usual_equipment import USUAL_TUBE
from bitewright.tasks.catalogue.named import equipment
from bitewright.tasks.film.film_mouths import station_film_mouth
from bitewright.tasks.light_box.kept_marks import marks_of_further, stated_marks, usable_marks
from bitewright.tasks.rated_by import RatedBy
from bitewright.tasks.second_look import second_look
from bitewright.words.not_rated import NO_RATING, NOT_LOOKED_AT

PREDICTED_COLUMNS = 680


def assess_kept(
    film: DecodedFilm,
    kept: KeptFilm,
    *,
    by: RatedBy,
    explained: bool,
    quickly: bool = False,
    also: Sequence[KeptFilm] = (),
    begin: Begin = unwatched,
) -> FilmAssessment:
    """Measure and rate a film from its marks, and explain it if asked.

    Parameters
    ----------
    film : DecodedFilm
    kept : KeptFilm
        The same, with its marks.
    by : RatedBy
        Question and scheme.
    explained : bool
    quickly : bool
        Whether to say instead what the marks tell so far, without an explanation.
    also : sequence of KeptFilm
        Further films of the same mouth, which say more of it together.
    begin : Begin

    Raises
    ------
    BitewrightError
        If marks are missing or do not go together.
    """
    known, marks = equipment(), usable_marks(kept)[0]
    holder = marks.get("holder")
    taken = taken_film(looked_at(stated_marks(kept), kept.label, on_page=True), known)
    if quickly:
        make_ready(taken)
    made = assess_film(
        film,
        taken,
        holder=known.holder(holder) if holder else None,
        by=by,
        places=second_look(film, taken) if explained or quickly else {},
    )
    further = [marks_of_further(other) for other in also]
    beside = BesideTheMarks(
        known=known,
        tube=known.tube(USUAL_TUBE),
        rim_flush=marks.get("rim_flush"),
        answers={
            ChairsideQuestion(name): answer for name, answer in marks.get("answers", {}).items()
        },
        also=tuple(taken_film(each, known) for each in further if is_looked_at(each)),
    )
    if quickly:
        return read_quickly(made, beside, begin=begin)
    return explain_film(made, beside, begin=begin) if explained else made


def why_not_rated(film: Callable[[], DecodedFilm], kept: KeptFilm, *, by: RatedBy) -> str:
    """Why a film has no rating from its marks, a key of `NOT_RATED_WORDS`; empty where it has."""
    try:
        assess_kept(film(), kept, by=by, explained=False)
    except (UnconfirmedMarksError, UnconfirmedNumbersError):
        return NOT_LOOKED_AT
    except BitewrightError:
        return NO_RATING
    return ""


def drawing_of(made: FilmAssessment) -> str | None:
    """The correction's drawing as SVG; None if the marks cannot tell."""
    said = made.explained
    if said is None or said.explanation is None:
        return None
    return svg_of(explanation_drawing(said.explanation, said.sentence))


def explained_picture(
    made: FilmAssessment, *, begin: Begin = unwatched
) -> tuple[NDArray[np.uint8], tuple[float, float]] | None:
    """The film that the estimated exposure gives, and its size on the receptor. [mm]

    Returns
    -------
    (rows, columns) uint8 array and (width, height), or None if the marks cannot tell.
    """
    said = made.explained
    if said is None or said.explanation is None:
        return None
    exposure = said.explanation.now
    at = exposure.station
    size = 2.0 * at.half_width_mm, 2.0 * at.half_height_mm
    mouth = station_film_mouth(at, begin)
    begin("the film of the estimated exposure")
    with all_cores() as threads:
        film = predicted_film(
            exposure,
            mouth,
            pixel_mm=max(size) / PREDICTED_COLUMNS,
            threads=threads,
            begin=begin,
        )
    pixels = np.asarray(film.pixels // 257, dtype=np.uint8)
    if made.film.marks.mounting is Mounting.MIRRORED:
        pixels = np.ascontiguousarray(pixels[:, ::-1])
    return pixels, size


__all__ = ["assess_kept", "drawing_of", "explained_picture", "why_not_rated"]

"""Read a film after its first marks: what to move first, and whether more marks change that."""

from dataclasses import replace

import numpy as np

from bitewright.estimation.estimate import FilmEvidence
from bitewright.estimation.lost_bone import estimate_with_lost_bone
from bitewright.estimation.mouth_belief import population
from bitewright.estimation.mouth_prior import mean_mouth
from bitewright.estimation.mouth_shapes import mouth_shapes
from bitewright.explanation.quick_reading import quick_reading, with_next
from bitewright.exposing.exposure import Station, station
from bitewright.exposing.landmarks import Status
from bitewright.mouth.outlines import build_outlines
from bitewright.planning.best_aim import Plan, best_aim
from bitewright.planning.general_set_up import general_set_up
from bitewright.quality.questions import AnyQuestion
from bitewright.quality.views import View
from bitewright.steps import Begin, unwatched
from bitewright.tasks.all_cores import all_cores
from bitewright.tasks.assess.explain_film import FEWEST_MARKS, BesideTheMarks
from bitewright.tasks.assess.film_assessment import FilmAssessment
from bitewright.tasks.assess.taken_film import TakenFilm
from bitewright.tasks.assess.usual_equipment import USUAL_HOLDER
from bitewright.tasks.assess.visit_films import (
    VisitFilm,
    closed_teeth_of_visit,
    nearest_receptor,
    teeth_of_taken,
)
from bitewright.tasks.made_once import MadeOnce

MOST_PLANS = 16


def make_ready(taken: TakenFilm) -> None:
    """Make what every film of a side shares, which takes seconds, before there are marks."""
    teeth = teeth_of_taken([taken])
    mouth_shapes(teeth, taken.view.region)
    population(teeth)


def read_quickly(
    assessed: FilmAssessment, beside: BesideTheMarks, *, begin: Begin = unwatched
) -> FilmAssessment:
    """An assessment with what its marks tell so far; without, where they are too few.

    What every film of a view shares is made with the first mark, and not stopped: it takes seconds.
    Of this film alone, in a mouth that is not known: what else is beside the marks waits for the
    whole explanation.

    Raises
    ------
    StoppedError
        If `begin` stopped it.
    """
    landmarks = assessed.assessment.landmarks
    taken = assessed.film
    receptor = taken.receptor or nearest_receptor(beside.known, landmarks)
    holder = assessed.holder or beside.known.holder(USUAL_HOLDER)
    teeth = teeth_of_taken([taken])
    closed = closed_teeth_of_visit([VisitFilm(taken=taken, landmarks=landmarks, receptor=receptor)])
    region = taken.view.region

    def middle() -> tuple[Station, Plan]:
        at = station(
            build_outlines(mean_mouth(teeth, closed)), region, receptor, holder, beside.tube
        )
        general_set_up(taken.view, at, assessed.question)
        return at, _plan(taken.view, at, assessed.question)

    key = (teeth, closed, taken.view.name, receptor, holder, beside.tube, assessed.question)
    at, plan = _MIDDLES.of(key, middle)
    shapes = mouth_shapes(teeth, region, closed)
    believed = replace(population(teeth).seen_from(region.side), closed=closed)
    assessed = replace(assessed, rim_flush=beside.rim, answers=beside.answers)
    if int(np.sum(landmarks.status[0] == Status.SEEN)) < FEWEST_MARKS:
        return assessed
    evidence = FilmEvidence(landmarks=landmarks, station=at)
    found = estimate_with_lost_bone([evidence], shapes, believed, begin=begin)
    question, generator = assessed.question, np.random.default_rng(beside.seed)
    said = quick_reading(
        found, plan, question=question, borders=assessed.borders, generator=generator
    )
    if assessed.serves is False:
        said = with_next(said, found, plan, question=question, generator=generator)
    return replace(assessed, quick=said)


def _plan(view: View, at: Station, question: AnyQuestion) -> Plan:
    with all_cores() as threads:
        return best_aim(view, at, question=question, threads=threads)


_MIDDLES: MadeOnce[tuple[object, ...], tuple[Station, Plan]] = MadeOnce(MOST_PLANS)

__all__ = ["make_ready", "read_quickly"]

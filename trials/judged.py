"""Explanations of films whose truth is known, judged by it."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bitewright.estimation.estimate import Estimate, FilmEvidence, estimate
from bitewright.estimation.exposure_unknowns import Whereabouts, pose_of
from bitewright.estimation.lost_bone import estimate_with_lost_bone
from bitewright.estimation.mouth_belief import MouthBelief, population
from bitewright.estimation.mouth_prior import mean_mouth
from bitewright.estimation.mouth_shapes import MouthShapes, mouth_shapes
from bitewright.explanation.correction import CauseName, Part, Verdict
from bitewright.explanation.explain import explain
from bitewright.explanation.explanation import Explanation
from bitewright.explanation.needed_amounts import POSE_OF
from bitewright.exposing.exposure import Station, station
from bitewright.mouth.outlines import build_outlines
from bitewright.row_bands import ALONE, Threads
from trials.known_films import KnownFilm

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """One explanation beside the truth; lengths and angles by part. [deg, mm]

    ``true`` is the movement from the film's exposure to the planner's best one for the true mouth,
    ``error`` what the explanation said less that, ``half`` half its interval's width, ``covered``
    whether that held it. ``alternative``: the cause named as one that the film does
    not tell from the first.
    """

    true: dict[Part, float]
    error: dict[Part, float]
    half: dict[Part, float]
    covered: dict[Part, bool]
    verdict: Verdict
    first_cause: CauseName
    alternative: CauseName | None
    marks: int
    misfit: float


def explained(
    film: KnownFilm,
    generator: np.random.Generator,
    *,
    belief: MouthBelief | None = None,
    shapes: MouthShapes | None = None,
    threads: Threads = ALONE,
) -> Explanation:
    """Explain a known film, believing the population or what is given instead."""
    found = estimated(film, belief=belief, shapes=shapes)
    return explain(found, film.view, generator=generator, threads=threads)


def estimated(
    film: KnownFilm, *, belief: MouthBelief | None = None, shapes: MouthShapes | None = None
) -> Estimate:
    """Estimate a known film's exposure and mouth, as `explained` does."""
    teeth = film.station.outlines.codes
    of_side = shapes or mouth_shapes(teeth, film.view.region)
    evidence = FilmEvidence(landmarks=film.landmarks, station=_usual_station(film.station, of_side))
    known = belief or (population(teeth) if of_side.along else None)
    if known is None:
        return estimate([evidence], of_side, None)
    return estimate_with_lost_bone([evidence], of_side, known)


def judged(film: KnownFilm, said: Explanation) -> Judged:
    """Set an explanation beside the truth."""
    frame = film.station.seating.frame
    along = (frame.front_mouth, frame.tongue_mouth)
    now, best = (pose_of(each, *along) for each in (film.exposure, film.best.exposure))
    true = {part: _difference(now, best, part) for part in Part}
    held = said.correction.held_by
    if held is not None and held.by is Part.HEIGHT:
        # Then the hand's part of the height is told, without what palate and floor did.
        best_mm, there_mm = (
            each.seat.upper_gap_mm[0] for each in (film.best.exposure, film.exposure)
        )
        true[Part.HEIGHT] += float(best_mm - there_mm)
    needed = {part: said.correction.of(part).needed for part in Part}
    causes = said.correction.causes
    return Judged(
        true=true,
        error={part: needed[part].value - true[part] for part in Part},
        half={part: 0.5 * (needed[part].high - needed[part].low) for part in Part},
        covered={part: needed[part].low <= true[part] <= needed[part].high for part in Part},
        verdict=said.correction.verdict,
        first_cause=causes[0].name,
        alternative=next((each.name for each in causes if each.is_alternative), None),
        marks=len(said.estimate.left_out[0].marks),
        misfit=said.correction.misfit,
    )


def _usual_station(at: Station, shapes: MouthShapes) -> Station:
    """The same equipment in the middle mouth: the true one is not given away."""
    outlines = (
        shapes.outlines if not shapes.along else build_outlines(mean_mouth(at.outlines.codes))
    )
    return station(outlines, at.region, at.receptor, at.holder, at.tube)


def _difference(now: Whereabouts, best: Whereabouts, part: Part) -> float:
    name = POSE_OF[part]
    return float(getattr(best, name)[0] - getattr(now, name)[0])


__all__ = ["Judged", "estimated", "explained", "judged"]

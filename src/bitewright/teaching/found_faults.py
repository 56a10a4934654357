"""What a film's marks say was wrong: found from the marks back, not from what was planted.

The exposure is estimated from where the landmarks lie on the film, in the mouth as it is known,
and set against the best one. Nothing here is told which fault was planted.
"""

from dataclasses import dataclass

from bitewright.estimation.estimate import FilmEvidence, estimate
from bitewright.estimation.exposure_unknowns import exposures_at, pose_of
from bitewright.estimation.mouth_shapes import MouthShapes
from bitewright.explanation.correction import CauseName, Part
from bitewright.explanation.likely_causes import CAUSES
from bitewright.explanation.needed_amounts import POSE_OF
from bitewright.explanation.needs import WORTH
from bitewright.exposing.landmarks import Landmarks
from bitewright.marking.marked_landmarks import landmarks_from_marks
from bitewright.marking.simulated_marker import true_marks
from bitewright.planning.best_aim import Plan
from bitewright.steps import Begin, unwatched

PARTS = (Part.SWING, Part.VERTICAL, Part.FORWARD, Part.HEIGHT, Part.ROLL)
"""What is told apart. Teeth held apart are an effect of where the receptor is, not counted."""

CLEARLY = 0.6
"""The next cause may weigh this share of the first. Our choice."""

MARK_PIXEL_MM = 0.02


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundCause:
    """A cause and its size; ``weight`` is that over what is worth moving. [deg or mm]"""

    name: CauseName
    size: float
    weight: float


def found_faults(
    landmarks: Landmarks, plan: Plan, *, begin: Begin = unwatched
) -> tuple[FoundCause, ...]:
    """Causes by their weight, the heaviest first.

    Parameters
    ----------
    landmarks : Landmarks
        Of the film; only where its marks lie is used.
    plan : Plan
        The best exposure in the same mouth.
    begin : Begin
    """
    at = plan.station
    marks = true_marks(
        landmarks, plan.view, pixel_mm=MARK_PIXEL_MM, image_name="film", receptor=at.receptor.name
    )
    marked = landmarks_from_marks(marks, plan.view, pixel_mm=MARK_PIXEL_MM, receptor=at.receptor)
    found = estimate(
        [FilmEvidence(landmarks=marked, station=at)],
        MouthShapes.known(at.outlines, plan.view.region),
        None,
        begin=begin,
    )
    along = (at.seating.frame.front_mouth, at.seating.frame.tongue_mouth)
    now = pose_of(exposures_at(at, found.unknowns[0][None]), *along)
    best = pose_of(plan.exposure, *along)
    causes = []
    for part in PARTS:
        needed = float((getattr(best, POSE_OF[part]) - getattr(now, POSE_OF[part]))[0])
        name = CAUSES[part][0 if needed < 0.0 else 1]
        causes.append(FoundCause(name=name, size=abs(needed), weight=abs(needed) / WORTH[part]))
    return tuple(sorted(causes, key=lambda cause: -cause.weight))


def is_clearly(causes: tuple[FoundCause, ...], name: CauseName) -> bool:
    """Whether a cause is the first, worth moving, and none of the others comes near it."""
    first, second = causes[:2]
    return first.name is name and first.weight >= 1.0 and second.weight <= CLEARLY * first.weight


__all__ = ["FoundCause", "found_faults", "is_clearly"]

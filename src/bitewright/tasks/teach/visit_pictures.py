"""The visit of an exercise: both views of one side or both in one mouth, and their films."""

import numpy as np
from numpy.typing import NDArray

from bitewright.mouth.numbering import Side
from bitewright.report.exercise_film import films_beside
from bitewright.steps import Begin, unwatched
from bitewright.tasks.teach.exercise_places import (
    BEST_SEED,
    PIXEL_MM,
    ExercisePlace,
    PlaceName,
    exercise_place,
)
from bitewright.teaching.decided_visit import ONE_SIDE, AskedVisit, DecidedVisit

Pixels = NDArray[np.uint16]

ZONES = ("premolar", "molar")
LEAVES_UNREAD = 0.75
"""How often a visit is asked for that leaves something unread. Some of these are not found, and
"none" is to be right about as often as one film is, lest it be the answer to all. Our choice."""

FOUR_OF = 3
"""Every so many visits, by chance, have four films. Our choice."""


def asked_visit(place: ExercisePlace, seed: int, number: int) -> AskedVisit:
    """The visit about an exercise's place; three of four leave something unread, by chance."""
    generator = np.random.default_rng([seed, 3, number])
    leaves_unread = bool(generator.random() < LEAVES_UNREAD)
    own = place.station.region.side
    sides = (Side.RIGHT, Side.LEFT) if generator.integers(FOUR_OF) == 0 else (own,)
    names = [f"{side.value}-{zone}" for side in sides for zone in ZONES]
    places = [exercise_place(PlaceName(place.name.mouth, name)) for name in names]
    return AskedVisit(plans=tuple(each.plan for each in places), leaves_unread=leaves_unread)


def visit_pictures(
    visit: DecidedVisit, mouth: str, *, seed: int, begin: Begin = unwatched
) -> tuple[bytes, bytes]:
    """The films as they were, and as they would have been: a row a side, its front inwards."""
    was: list[dict[str, Pixels]] = []
    best: list[dict[str, Pixels]] = []
    for first in range(0, len(visit.films), ONE_SIDE):
        of_side = visit.films[first : first + ONE_SIDE]
        right = of_side[0].plan.view.region.side is Side.RIGHT
        was.append({})
        best.append({})
        for film in of_side[::-1] if right else of_side:
            of_view = film.plan.view
            at = exercise_place(PlaceName(mouth, of_view.name))
            shot = at.film(film.exposure, seed=seed, begin=begin)
            seed += 1
            was[-1][of_view.title] = shot.pixels
            shot = at.film(film.plan.exposure, seed=BEST_SEED, begin=begin)
            best[-1][of_view.title] = shot.pixels
    return films_beside(was, pixel_mm=PIXEL_MM), films_beside(best, pixel_mm=PIXEL_MM)


__all__ = ["asked_visit", "visit_pictures"]

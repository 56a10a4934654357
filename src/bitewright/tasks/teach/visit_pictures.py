"""The visit of an exercise: both views of a side in one mouth, their films side by side."""

import numpy as np

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
from bitewright.teaching.decided_visit import AskedVisit, DecidedVisit

ZONES = ("premolar", "molar")


def asked_visit(place: ExercisePlace, seed: int, number: int) -> AskedVisit:
    """The visit about an exercise's place; every other one leaves something unread, by chance."""
    side = place.station.region.side.value
    places = [exercise_place(PlaceName(place.name.mouth, f"{side}-{zone}")) for zone in ZONES]
    leaves_unread = bool(np.random.default_rng([seed, 3, number]).random() < 0.5)
    return AskedVisit(plans=tuple(each.plan for each in places), leaves_unread=leaves_unread)


def visit_pictures(
    visit: DecidedVisit, mouth: str, *, seed: int, begin: Begin = unwatched
) -> tuple[bytes, bytes]:
    """Both films as they were, and as they would have been; the front of the mouth inwards."""
    right = visit.films[0].plan.view.region.side is Side.RIGHT
    shown = visit.films[::-1] if right else visit.films
    was, best = {}, {}
    for number, film in enumerate(shown):
        of_view = film.plan.view
        at = exercise_place(PlaceName(mouth, of_view.name))
        was[of_view.title] = at.film(film.exposure, seed=seed + number, begin=begin).pixels
        best[of_view.title] = at.film(film.plan.exposure, seed=BEST_SEED, begin=begin).pixels
    return films_beside(was, pixel_mm=PIXEL_MM), films_beside(best, pixel_mm=PIXEL_MM)


__all__ = ["asked_visit", "visit_pictures"]

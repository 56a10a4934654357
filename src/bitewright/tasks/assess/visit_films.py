"""The films of one visit as they are estimated: landmarks, receptor, and the teeth they show."""

from collections.abc import Sequence
from dataclasses import dataclass

from bitewright.equipment.catalogue import Catalogue
from bitewright.equipment.receptors import Receptor
from bitewright.exposing.landmarks import Landmarks
from bitewright.marking.closed_on_film import closed_on_film
from bitewright.marking.marked_landmarks import landmarks_from_marks, teeth_on_film
from bitewright.mouth.numbering import Side
from bitewright.quality.views import View
from bitewright.tasks.assess.taken_film import TakenFilm


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class VisitFilm:
    """A marked film's landmarks on the receptor it was taken with, or most likely was."""

    taken: TakenFilm
    landmarks: Landmarks
    receptor: Receptor

    @property
    def pixel_mm(self) -> float:
        """Of the marks' image. [mm]"""
        return float(2.0 * self.landmarks.half_size_mm[0] / self.taken.marks.columns)

    @property
    def view(self) -> View:
        """What it was taken for."""
        return self.taken.view


def further_film(taken: TakenFilm, usual: Receptor) -> VisitFilm:
    """A further film from its marks alone; its pixel size is the marks' or its receptor's."""
    marks, receptor = taken.marks, taken.receptor or usual
    pixel_mm = marks.pixel_mm or receptor.active_long_mm / max(marks.columns, marks.rows)
    landmarks = landmarks_from_marks(marks, taken.view, pixel_mm=pixel_mm, receptor=receptor)
    return VisitFilm(taken=taken, landmarks=landmarks, receptor=receptor)


def nearest_receptor(known: Catalogue, landmarks: Landmarks) -> Receptor:
    """The known receptor whose active area is nearest to the image's size."""
    long, short = sorted(2.0 * landmarks.half_size_mm, reverse=True)
    return min(
        known.receptors.values(),
        key=lambda each: abs(each.active_long_mm - long) + abs(each.active_short_mm - short),
    )


def teeth_of_visit(films: Sequence[VisitFilm]) -> tuple[int, ...]:
    """Teeth on the films; of a side without a film the usual ones."""
    return teeth_of_taken([each.taken for each in films])


def closed_teeth_of_visit(films: Sequence[VisitFilm]) -> tuple[int, ...]:
    """Missing teeth of films whose spaces have closed, as their marks have it."""
    absent = {code for each in films for code in each.taken.marks.absent_teeth}
    pairs = {
        pair
        for each in films
        for pair in closed_on_film(
            each.taken.marks, each.view, pixel_mm=each.pixel_mm, absent=absent
        )
    }
    return tuple(sorted(code for code in absent for a, b in pairs if a < code < b))


def teeth_of_taken(films: Sequence[TakenFilm]) -> tuple[int, ...]:
    """As `teeth_of_visit`, of films whose landmarks need not be known."""
    shown = {side: set[int]() for side in Side}
    for each in films:
        shown[each.view.region.side] |= teeth_on_film(each.marks, each.view)
    absent = {code for each in films for code in each.marks.absent_teeth}
    usual = {10 * quadrant + place for quadrant in (1, 2, 3, 4) for place in range(1, 8)}
    third = {code for codes in shown.values() for code in codes if code % 10 == 8}
    return tuple(sorted((usual | third) - absent))


__all__ = [
    "VisitFilm",
    "closed_teeth_of_visit",
    "further_film",
    "nearest_receptor",
    "teeth_of_taken",
    "teeth_of_visit",
]

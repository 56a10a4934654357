"""Spaces of missing teeth that have closed, as a film's marks have it."""

from collections.abc import Collection

from bitewright.marking.marked_landmarks import MAGNIFICATION, teeth_on_film
from bitewright.marking.marks import MarkedFilm
from bitewright.quality.closed_spaces import SPACE_CLOSED_MM, across_missing
from bitewright.quality.views import View
from bitewright.quality.wanted import Pair, edges


def closed_on_film(
    film: MarkedFilm, view: View, *, pixel_mm: float, absent: Collection[int] = ()
) -> tuple[Pair, ...]:
    """Teeth on either side of a missing one whose facing edges are marked and nearly meet.

    They overlap, or stand less than `SPACE_CLOSED_MM` apart; where one of the two edges is not
    marked, nothing says that the space has closed.

    Parameters
    ----------
    film : MarkedFilm
    view : View
    pixel_mm : float
        Pixel size at the receptor. [mm]
    absent : collection of int
        Teeth known to be missing beside those that the film's marks say.
    """
    placed = film.seen_points_receptor_mm(pixel_mm=pixel_mm)
    side = [code for code in teeth_on_film(film, view) if code // 10 in view.region.quadrants]
    found = []
    for pair in across_missing(set(side) - set(absent)):
        ahead, behind = (placed.get(name) for name in edges(pair))
        if ahead is None or behind is None:
            continue
        apart_mm = view.region.front_sign * float(ahead[0] - behind[0]) / MAGNIFICATION
        if apart_mm < SPACE_CLOSED_MM:
            found.append(pair)
    return tuple(found)


__all__ = ["closed_on_film"]

"""What of a view's row a film shows, and whether a movement along the row would bring more of it.

Where along the row a receptor lies best wanders from mouth to mouth: as needed it is told only
where the film lacks a surface that lies that way.
"""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace

import numpy as np

from bitewright.explanation.correction import Movement, Need, Part, Spared
from bitewright.exposing.exposure import Exposures
from bitewright.exposing.landmarks import Landmarks, Status
from bitewright.planning.best_aim import Plan
from bitewright.quality.measure import OUTSIDE_MM
from bitewright.quality.predicted import asked, predict

LEAST_SHOWN_MM = 0.5
"""A surface nearer than this to the receptor's edge is not yet surely shown: as the criterion of
contacts has it. [mm]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class RowLacked:
    """Whether a film lacks surfaces of its view towards the front of the row, towards the back."""

    front: bool
    back: bool

    def is_brought_by(self, movement: Movement) -> bool:
        """Whether a receptor moved along the row like this would bring what is lacking."""
        return self.front if movement.needed.value > 0.0 else self.back


ALL_SHOWN = RowLacked(front=False, back=False)


def row_lacked(marked: Landmarks, now: Exposures, plan: Plan) -> RowLacked:
    """What a film lacks along the row that its view's best exposure shows.

    As marked; what is not marked, as estimated. What by the estimate lies above or below the image
    alone is not lacked along the row: a receptor moved along it would not bring that.

    Parameters
    ----------
    marked : Landmarks
        Of one film.
    now : Exposures
        The film's exposure as estimated, in the estimated mouth.
    plan : Plan
        The best exposure of that mouth.
    """
    of = asked(plan.view, plan.station)
    found, best = (predict(each, of).landmarks for each in (now, plan.exposure))
    shown, lacked = [], []
    for name in of.wanted.surfaces:
        told = marked if marked.status_of(name)[0] != Status.UNMARKED else found
        here, there = _inside_mm(told, name), _inside_mm(best, name)
        if here >= LEAST_SHOWN_MM:
            shown.append(name)
        elif there >= 0.0 and there - here >= LEAST_SHOWN_MM and not _is_off_across(found, name):
            lacked.append(name)
    return lacked_towards(lacked, shown)


def _is_off_across(found: Landmarks, name: str) -> bool:
    """Whether a surface lies well inside both ends of the image and beyond its upper or lower edge.

    NaN, where the estimate has no place for it, is neither.
    """
    along_mm, across_mm = found.half_size_mm - np.abs(found.points(name)[0])
    return bool(along_mm >= LEAST_SHOWN_MM and across_mm < LEAST_SHOWN_MM)


def _inside_mm(of: Landmarks, name: str) -> float:
    """How far a surface lies inside the receptor's edge; far where nobody told a place. [mm]"""
    margin = float(of.margins(name)[0][0])
    if np.isfinite(margin):
        return margin
    return OUTSIDE_MM if of.status_of(name)[0] == Status.OUTSIDE else np.inf


def lacked_towards(lacked: Collection[str], shown: Collection[str]) -> RowLacked:
    """Which way lies what a film lacks: in front of what it shows, or behind. Surfaces by name."""
    gone = [_along(name) for name in lacked]
    if not gone:
        return ALL_SHOWN
    middle = _middle([_along(name) for name in shown] or gone)
    return RowLacked(
        front=any(place <= middle for place in gone), back=any(place >= middle for place in gone)
    )


def _along(name: str) -> float:
    """Where a surface lies along the row, in teeth from the midline."""
    return int(name[1]) + (0.25 if name.endswith("distal") else -0.25)


def _middle(places: Sequence[float]) -> float:
    return 0.5 * (min(places) + max(places))


def as_lacked(movements: Sequence[Movement], lacked: RowLacked) -> tuple[Movement, ...]:
    """The same; a movement along the row that would bring nothing that is lacking is perhaps."""
    return tuple(
        replace(each, need=Need.PERHAPS, spared=Spared.ALL_SHOWN)
        if each.part is Part.FORWARD and each.need is Need.MOVE and not lacked.is_brought_by(each)
        else each
        for each in movements
    )


__all__ = ["ALL_SHOWN", "LEAST_SHOWN_MM", "RowLacked", "as_lacked", "lacked_towards", "row_lacked"]

"""Where each mark would be expected from all the others: what a slip of the hand stands out by."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bitewright.estimation.allowances import contacts_of
from bitewright.estimation.seen_marks import SeenMarks
from bitewright.marking.visible_places import VISIBLE

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class ExpectedOverlap:
    """The overlap of one contact as marked, and as all other marks lead one to expect it.

    ``front`` and ``back`` name its two marks. [mm at the receptor]
    """

    front: str
    back: str
    marked_overlap_mm: float
    expected_overlap_mm: float
    sd_mm: float

    @property
    def off_sd(self) -> float:
        """How many standard deviations it lies off as marked."""
        return abs(self.marked_overlap_mm - self.expected_overlap_mm) / self.sd_mm

    @property
    def exchanged_mm(self) -> float:
        """The overlap, were its two marks exchanged; edges are seen further apart than they are."""
        return -self.marked_overlap_mm - 4.0 * VISIBLE.edge.outward_mm

    @property
    def off_exchanged_sd(self) -> float:
        """How many standard deviations it would lie off then."""
        return abs(self.exchanged_mm - self.expected_overlap_mm) / self.sd_mm


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class MarkBeside:
    """One mark beside where all others lead one to expect it.

    Parameters
    ----------
    off_mm : (2,) float array
        The mark less its expected place, on the receptor. [mm]
    covariance : (2, 2) float array
        Of that, the mark's own spread included. [mm2]
    """

    off_mm: Floats
    covariance: Floats

    @property
    def off_sd(self) -> float:
        """How many standard deviations it lies off, over both coordinates."""
        return float(np.sqrt(self.off_mm @ np.linalg.solve(self.covariance, self.off_mm)))


@dataclass(frozen=True, slots=True, kw_only=True)
class MarksLeftOut:
    """What all other marks of a film say of each.

    Parameters
    ----------
    marks : dict of landmark name to MarkBeside
    contacts : tuple of ExpectedOverlap
    """

    marks: dict[str, MarkBeside]
    contacts: tuple[ExpectedOverlap, ...]

    @property
    def off_sd(self) -> dict[str, float]:
        """How many standard deviations each mark lies off, over both coordinates."""
        return {name: mark.off_sd for name, mark in self.marks.items()}


def marks_left_out(
    seen: SeenMarks,
    left_over: Floats,
    slopes: Floats,
    away: Floats,
    prior: Floats,
    front_sign: float,
) -> MarksLeftOut:
    """Leave each mark, and each contact, out in turn.

    Our model: linear about the estimate, normal; marks that lie far off weigh as little as there.
    The expected place of some coordinates and its covariance follow from all others' by
    conditioning one normal distribution (textbook algebra).

    Parameters
    ----------
    seen : SeenMarks
        As they weigh at the estimate.
    left_over : (size,) float array
        Whitened residuals there.
    slopes : (size, N) float array
        Of the whitened projection by the N unknowns.
    away : (N,) float array
        The estimate less the prior's mean.
    prior : (N, N) float array
        The prior's covariance.
    front_sign : float
        As in `Landmarks`.
    """
    if not len(seen.points):
        return MarksLeftOut(marks={}, contacts=())
    steep = np.linalg.solve(seen.whitening, slopes[: len(seen.points)])
    apart = seen.unwhitened(left_over) + steep @ away
    spread = steep @ prior @ steep.T + seen.together
    root = 1.0 / np.sqrt(seen.weights)
    beside_others: dict[str, MarkBeside] = {}
    overlaps = contacts_of(seen.names)
    contacts = []
    for group in np.unique(seen.groups):
        mine = seen.groups == group
        # The marks that are judged weigh in full.
        own_root = np.where(mine, 1.0, root)
        precision = np.linalg.inv(spread + seen.own * np.outer(own_root, own_root))
        pulled = precision @ apart

        def beside(
            rows: list[int], precision: Floats = precision, pulled: Floats = pulled
        ) -> tuple[Floats, Floats]:
            """Residual and covariance of some coordinates, given all others."""
            covariance: Floats = np.asarray(np.linalg.inv(precision[np.ix_(rows, rows)]))
            return np.asarray(covariance @ pulled[rows]), covariance

        marks = sorted({int(row) // 2 for row in np.flatnonzero(mine)})
        for k in marks:
            residual, covariance = beside([2 * k, 2 * k + 1])
            beside_others[seen.names[k]] = MarkBeside(off_mm=residual, covariance=covariance)
        for front, back in overlaps:
            if front in marks:
                residual, covariance = beside([2 * front, 2 * front + 1, 2 * back, 2 * back + 1])
                contacts.append(_expected(seen, (front, back), residual, covariance, front_sign))
    return MarksLeftOut(marks=beside_others, contacts=tuple(contacts))


def _expected(
    seen: SeenMarks,
    contact: tuple[int, int],
    residual: Floats,
    covariance: Floats,
    front_sign: float,
) -> ExpectedOverlap:
    """The overlap of a contact from what its two marks' coordinates (4,) lie off. [mm]"""
    front, back = contact
    across = front_sign * np.array([-1.0, 0.0, 1.0, 0.0])
    marked = float(front_sign * (seen.marked[2 * back] - seen.marked[2 * front]))
    return ExpectedOverlap(
        front=seen.names[front],
        back=seen.names[back],
        marked_overlap_mm=marked,
        expected_overlap_mm=marked - float(across @ residual),
        sd_mm=float(np.sqrt(across @ covariance @ across)),
    )


__all__ = ["ExpectedOverlap", "MarkBeside", "MarksLeftOut", "marks_left_out"]

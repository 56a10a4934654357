"""One mark of a known film set a millimetre off, and whether it is named to be checked."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from scipy.special import ndtr, ndtri

from bitewright.estimation.allowances import kind_of
from bitewright.explanation.doubtful_marks import doubtful_marks
from trials.judged import estimated
from trials.known_films import KnownFilm

OFF_MM = 1.0
GOOD_NAMED = 0.03


@dataclass(frozen=True, slots=True, kw_only=True)
class MovedMark:
    """A mark set off, what it is, and whether it was named.

    ``along``: whether it went along the row rather than up or down. ``foretold_mm``: how surely the
    others foretell its place that way, one standard deviation. ``at_best``: how often the best test
    would notice, one that knew which way to look and doubted `GOOD_NAMED` of good marks.
    """

    kind: str
    named: bool
    along: bool
    foretold_mm: float
    at_best: float


def moved_mark(film: KnownFilm, names: Sequence[str], generator: np.random.Generator) -> MovedMark:
    """Set one of these marks of a film off, any way, and look whether it is doubted."""
    name = names[int(generator.integers(len(names)))]
    way = generator.uniform(0.0, 2.0 * np.pi)
    points = film.landmarks.points_receptor.copy()
    moved_by = np.array([np.cos(way), np.sin(way)])
    points[0, film.landmarks.names.index(name)] += OFF_MM * moved_by
    moved = replace(film, landmarks=replace(film.landmarks, points_receptor=points))
    beside = estimated(moved).left_out[0]
    doubted = doubtful_marks(beside, moved.landmarks.front_sign)
    covariance = beside.marks[name].covariance
    foretold = float(1.0 / np.sqrt(moved_by @ np.linalg.solve(covariance, moved_by)))
    return MovedMark(
        kind=kind_of(name),
        named=name in {each.name for each in doubted},
        along=bool(abs(moved_by[0]) > abs(moved_by[1])),
        foretold_mm=foretold,
        at_best=float(ndtr(OFF_MM / foretold - ndtri(1.0 - GOOD_NAMED))),
    )


__all__ = ["MovedMark", "moved_mark"]

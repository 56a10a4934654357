"""One mark of a known film set a millimetre off, and whether it is named to be checked."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from bitewright.estimation.allowances import kind_of
from bitewright.explanation.doubtful_marks import doubtful_marks
from trials.judged import estimated
from trials.known_films import KnownFilm

OFF_MM = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class MovedMark:
    """A mark set off, what it is, and whether it was named."""

    kind: str
    named: bool


def moved_mark(film: KnownFilm, names: Sequence[str], generator: np.random.Generator) -> MovedMark:
    """Set one of these marks of a film off, any way, and look whether it is doubted."""
    name = names[int(generator.integers(len(names)))]
    way = generator.uniform(0.0, 2.0 * np.pi)
    points = film.landmarks.points_receptor.copy()
    points[0, film.landmarks.names.index(name)] += OFF_MM * np.array([np.cos(way), np.sin(way)])
    moved = replace(film, landmarks=replace(film.landmarks, points_receptor=points))
    return MovedMark(kind=kind_of(name), named=name in doubtful_marks(estimated(moved).left_out[0]))


__all__ = ["MovedMark", "moved_mark"]

"""Whether a picture is of another shape than one bitewing: films in a row, or a wide view."""

import numpy as np
from numpy.typing import NDArray

from bitewright.proposing.square import FilmOnSquare

Floats = NDArray[np.float64]

LONGEST = 2.2
"""No receptor for bitewings is longer than twice its width (ISO 3665, size 3), and a little may be
cut off. Two of size 2 side by side are 2.6 times as wide as high. Our choice."""

MIDDLE = (0.25, 0.75)
"""A gap between two films lies in this part of the picture; a border lies outside. Our choice."""

EVEN, VARIED = 0.012, 0.05
"""Standard deviations of grey down a column: of a gap's at most the first, of a film's just beside
it at least the second. A column through both rows of teeth is never so even. Our choice."""

BESIDE_PX = 3
"""So near to a gap its films begin: their borders are straight, those of a burnt-out part not."""


def is_not_one_film(film: FilmOnSquare) -> bool:
    """Whether a picture is longer than any bitewing, or parted by an even gap down all of it."""
    height_mm, width_mm = film.size_mm
    if max(height_mm, width_mm) > LONGEST * min(height_mm, width_mm):
        return True
    return _is_parted(film.inside().astype(np.float64))


def _is_parted(grey: Floats) -> bool:
    """Whether in the middle of a picture (rows, columns) columns are even, and those beside not."""
    spread = grey.std(axis=0)
    columns = len(spread)
    low, high = round(MIDDLE[0] * columns), round(MIDDLE[1] * columns)
    if low < BESIDE_PX:
        return False
    even = spread < EVEN
    for first in range(low, high):
        if not even[first] or even[first - 1]:
            continue
        last = first + int(np.argmin(np.append(even[first:], False)))
        beside = (spread[first - BESIDE_PX], spread[min(last + BESIDE_PX, columns) - 1])
        if last < columns and min(beside) > VARIED:
            return True
    return False


__all__ = ["is_not_one_film"]

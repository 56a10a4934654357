"""Whether a picture is of another shape than one bitewing: films in a row, or a wide view."""

import numpy as np

from bitewright.proposing.film_seams import is_parted
from bitewright.proposing.square import FilmOnSquare

LONGEST = 2.2
"""No receptor for bitewings is longer than twice its width (ISO 3665, size 3), and a little may be
cut off. Two of size 2 side by side are 2.6 times as wide as high. Our choice."""


def is_not_one_film(film: FilmOnSquare) -> bool:
    """Whether a picture is longer than any bitewing, or parted into films by a straight line."""
    height_mm, width_mm = film.size_mm
    if max(height_mm, width_mm) > LONGEST * min(height_mm, width_mm):
        return True
    grey = film.inside().astype(np.float64)
    return is_parted(grey) or is_parted(grey.T)


__all__ = ["is_not_one_film"]

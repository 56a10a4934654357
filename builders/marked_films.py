"""Films with their landmarks, real or rendered, ready to be compared or cut."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from bitewright.files.images import read_image
from bitewright.files.marks_file import read_marks

Floats = NDArray[np.float64]
Places = Mapping[str, tuple[float, float]]
"""Landmarks by name: column and row. [pixels]"""

USUAL_PIXEL_MM = 0.03


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class MarkedFilm:
    """A film as displayed, 8-bit grey, and its landmarks; its pixels' size at the receptor."""

    grey: Floats
    pixel_mm: float
    places: Places
    is_real: bool


def real_film(image: Path, marks: Path) -> MarkedFilm:
    """A real film and what was marked on it."""
    film, raw = read_marks(marks), read_image(image)
    places = {
        name: (mark.x_px, mark.y_px)
        for name, mark in film.marks.items()
        if mark.x_px is not None and mark.y_px is not None
    }
    return MarkedFilm(
        grey=raw.pixels * (255.0 / (2**raw.bits - 1)),
        pixel_mm=film.pixel_mm or raw.pixel_mm or USUAL_PIXEL_MM,
        places=places,
        is_real=True,
    )

"""A marker who sees every landmark of a predicted film, give or take; for demonstrations."""

import numpy as np
from numpy.typing import NDArray

from bitewright.exposing.landmarks import Landmarks, Status
from bitewright.marking.marks import Mark, MarkedFilm, MarkStatus
from bitewright.quality.views import View


def marked_by_simulation(
    landmarks: Landmarks,
    view: View,
    *,
    pixel_mm: float,
    image_name: str,
    receptor: str,
    sd_mm: float,
    generator: np.random.Generator,
) -> MarkedFilm:
    """Marks on the first exposure's film: every landmark of the view's teeth, with noise.

    Landmarks beyond the edge or cut off by the beam get the status "outside".

    Parameters
    ----------
    landmarks : Landmarks
        Projected.
    sd_mm : float
        Standard deviation of each coordinate, at the receptor. [mm]
    """
    columns, rows = (round(2.0 * half / pixel_mm) for half in landmarks.half_size_mm)
    noise = generator.normal(0.0, sd_mm, size=landmarks.points_receptor[0].shape)
    points = landmarks.points_receptor[0] + noise
    size = np.array([columns, rows])
    marks = {
        name: _mark(points[column] / pixel_mm + 0.5 * size, landmarks.status[0, column], size)
        for column, name in enumerate(landmarks.names)
        if int(name[:2]) in view.teeth
    }
    return MarkedFilm(
        image_name=image_name,
        columns=columns,
        rows=rows,
        view=view.name,
        receptor=receptor,
        pixel_mm=pixel_mm,
        mark_sd_mm=sd_mm,
        marks=marks,
    )


def _mark(place_px: NDArray[np.float64], status: int, size: NDArray[np.int_]) -> Mark:
    inside = bool(((place_px >= 0) & (place_px <= size)).all())
    if status != Status.SEEN or not inside:
        return Mark(status=MarkStatus.OUTSIDE)
    return Mark(x_px=round(float(place_px[0]), 2), y_px=round(float(place_px[1]), 2))


__all__ = ["marked_by_simulation"]

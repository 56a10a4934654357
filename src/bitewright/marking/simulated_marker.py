"""The marks of a predicted film: where it shows its landmarks, or as somebody would place them."""

from collections.abc import Collection
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from bitewright.exposing.landmarks import Landmarks, Status
from bitewright.marking.marks import Mark, MarkedFilm, MarkStatus
from bitewright.marking.visible_places import seen_off_mm
from bitewright.quality.views import View
from bitewright.quality.wanted import Pair


def true_marks(
    landmarks: Landmarks,
    view: View,
    *,
    pixel_mm: float,
    image_name: str,
    receptor: str,
    closed: Collection[Pair] = (),
) -> MarkedFilm:
    """Marks where the first exposure's film shows its landmarks, those of the view's teeth.

    Of the pairs ``closed``, which meet across missing teeth, both where the view has one.

    Landmarks beyond the edge or cut off by the beam get the status "outside".

    Parameters
    ----------
    landmarks : Landmarks
        Projected.
    view : View
    pixel_mm : float
        [mm]
    image_name, receptor : str
    """
    teeth = {*view.teeth, *(c for p in closed for c in p if set(p) & set(view.teeth))}
    columns, rows = (round(2.0 * half / pixel_mm) for half in landmarks.half_size_mm)
    size = np.array([columns, rows])
    seen_mm = landmarks.points_receptor[0] + seen_off_mm(landmarks.names, landmarks.front_sign)
    points_px = seen_mm / pixel_mm + 0.5 * size
    return MarkedFilm(
        image_name=image_name,
        columns=columns,
        rows=rows,
        view=view.name,
        receptor=receptor,
        pixel_mm=pixel_mm,
        marks={
            name: _mark(points_px[column], landmarks.status[0, column], size)
            for column, name in enumerate(landmarks.names)
            if int(name[:2]) in teeth
        },
    )


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
    """Marks as `true_marks`, with noise: a marker who sees every landmark, give or take.

    Parameters
    ----------
    landmarks, view, pixel_mm, image_name, receptor
        As `true_marks`.
    sd_mm : float
        Standard deviation of each coordinate, at the receptor. [mm]
    generator : numpy Generator
    """
    noise = generator.normal(0.0, sd_mm, size=landmarks.points_receptor[0].shape)
    noisy = replace(landmarks, points_receptor=landmarks.points_receptor + noise)
    film = true_marks(noisy, view, pixel_mm=pixel_mm, image_name=image_name, receptor=receptor)
    return replace(film, mark_sd_mm=sd_mm)


def _mark(place_px: NDArray[np.float64], status: int, size: NDArray[np.int_]) -> Mark:
    inside = bool(((place_px >= 0) & (place_px <= size)).all())
    if status == Status.CUT and inside:
        return Mark(status=MarkStatus.HIDDEN)
    if status != Status.SEEN or not inside:
        return Mark(status=MarkStatus.OUTSIDE)
    return Mark(x_px=round(float(place_px[0]), 2), y_px=round(float(place_px[1]), 2))


__all__ = ["marked_by_simulation", "true_marks"]

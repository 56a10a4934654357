"""How sharp a film's edges are: profiles across them, met at half their height and averaged."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import binary_erosion, gaussian_filter, map_coordinates

from builders.film_areas import Mask
from builders.marked_films import MarkedFilm

Floats = NDArray[np.float64]

REACH_MM, STEP_MM = 0.7, 0.01
PLATEAU_MM = (0.35, 0.6)
"""From this to that on both sides of an edge its levels count as even."""

MOST_PLACES = 400
LEAST_STEP, MOST_SLOPE = 35.0, 22.0
"""Places where the level rises less, or where either side's plateau is less even, are left out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Edge:
    """The mean profile's width from 10 to 90 % of its rise, and how far it overshoots."""

    width_mm: float
    overshoot: float
    undershoot: float
    places: int


NO_EDGE = Edge(width_mm=float("nan"), overshoot=float("nan"), undershoot=float("nan"), places=0)


def edge_of(film: MarkedFilm, inside: Mask) -> Edge:
    """The edge of a bright area: overshoot and undershoot as shares of the rise."""
    border = np.argwhere(inside & ~binary_erosion(inside))
    if len(border) < 10:
        return NO_EDGE
    at = border[:: max(len(border) // MOST_PLACES, 1)].astype(np.float64)
    return edge_at(film, at)


def edge_at(film: MarkedFilm, at: Floats) -> Edge:
    """The edge that runs through these places (row, column)."""
    smooth = gaussian_filter(film.grey, 0.12 / film.pixel_mm)
    slope = np.stack(np.gradient(smooth))
    rows, columns = at.astype(int).T
    ways = slope[:, rows, columns].T
    ways /= np.maximum(np.hypot(*ways.T), 1e-9)[:, None]
    along = np.arange(-REACH_MM, REACH_MM + STEP_MM, STEP_MM)
    shift = along / film.pixel_mm
    points = at[:, None] + shift[None, :, None] * ways[:, None]
    profiles = map_coordinates(film.grey, [points[..., 0], points[..., 1]], order=1, cval=-1e3)
    kept = [met for each in profiles if (met := _met(each, along)) is not None]
    if len(kept) < 8:
        return NO_EDGE
    return _judged(np.median(kept, axis=0), along, len(kept))


def _met(profile: Floats, along: Floats) -> Floats | None:
    """A profile as a share of its rise, moved so that half the rise lies at 0; None if uneven."""
    low, high = (profile[_plateau(along, side)] for side in (-1.0, 1.0))
    rise = high.mean() - low.mean()
    if profile.min() < -100.0 or rise < LEAST_STEP:
        return None
    if max(np.ptp(low), np.ptp(high)) > MOST_SLOPE:
        return None
    share = (profile - low.mean()) / rise
    near = np.abs(along) < 0.3
    crossing = np.flatnonzero(near[1:] & (share[:-1] < 0.5) & (share[1:] >= 0.5))
    if not len(crossing):
        return None
    place = along[crossing[np.argmin(np.abs(along[crossing]))]]
    return np.asarray(np.interp(along + place, along, share))


def _plateau(along: Floats, side: float) -> NDArray[np.bool_]:
    return np.asarray((side * along >= PLATEAU_MM[0]) & (side * along <= PLATEAU_MM[1]))


def _judged(share: Floats, along: Floats, places: int) -> Edge:
    middle = int(np.argmin(np.abs(along)))
    low = np.flatnonzero(share[:middle] < 0.1)
    high = np.flatnonzero(share[middle:] > 0.9)
    if not len(low) or not len(high):
        return NO_EDGE
    width = along[middle + high[0]] - along[low[-1]]
    near = np.abs(along) < PLATEAU_MM[0]
    return Edge(
        width_mm=float(width),
        overshoot=float(share[near].max() - 1.0),
        undershoot=float(-share[near].min()),
        places=places,
    )

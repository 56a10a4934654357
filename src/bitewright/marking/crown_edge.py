"""Where a crown's outer border lies in the picture beside a mark, if that is sure.

Outward from a crown the picture gets darker at its border: bright is dense, and at an overlap the
neighbour's own border gets brighter that way, so each crown finds its own. Nothing is taken where
a second edge rivals the first, where brightness falls off slowly as inside enamel, or where the
rows of the strip do not tell the same.

Contacts only. Crest marks were tried and are left alone: on films of modelled mouths the bone's
visible edge scatters 0.2 mm about the crest landmark, so that marks got no better by it.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter1d

from bitewright.mouth.landmark_names import Feature, Surface, SurfaceLandmark, parse_landmark
from bitewright.quality.views import View

Floats = NDArray[np.float64]

SEARCH_MM = 0.5
"""How far from the mark a border is looked for, along the row of teeth. Our choice. [mm]"""

HALF_STRIP_MM = 0.3
"""The strip reaches this far above and below the mark. Our choice. [mm]"""

SMOOTHED_MM = 0.06
"""Standard deviation of the smoothing before the slope is taken. Our choice. [mm]"""

LEAST_TIMES_NOISE = 6.0
"""A border's slope against the standard error that the strip's rows give it. Our choice."""

MOST_RIVAL = 0.5
"""The next edge may have at most this share of its slope. Our choice."""

LEAST_STANDING_OUT = 0.65
"""By this share a border's slope must stand out from that on both its sides. Our choice."""

MOST_WIDTH_MM = 0.27
"""Width of the slope at half its height: wider, and it is no border. Our choice. [mm]"""

BESIDE_MM = 0.25
BANDS = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class CrownEdge:
    """A border that is sure.

    Parameters
    ----------
    shift_mm : float
        From the mark, to the right on the receptor. [mm]
    times_noise : float
        How far its slope stands above the noise.
    """

    shift_mm: float
    times_noise: float


def crown_edge(
    pixels: NDArray[np.uint16],
    at_px: tuple[float, float],
    *,
    pixel_mm: float,
    outward: float,
) -> CrownEdge | None:
    """The outer border of a crown near a mark, or None where none is sure.

    Parameters
    ----------
    pixels : (rows, columns) uint16 array
        As displayed, dense bright.
    at_px : (x, y)
        The mark. [px]
    pixel_mm : float
    outward : float
        +1 where the crown's outside lies to the right, else -1.
    """
    strip = _strip(pixels, at_px, pixel_mm)
    if strip is None:
        return None
    first, bands = strip
    falls = -outward * gaussian_filter1d(bands, SMOOTHED_MM / pixel_mm, axis=1, order=1)
    slope = falls.mean(axis=0)
    away_mm = (first + np.arange(len(slope)) + 0.5 - at_px[0]) * pixel_mm
    peaks = _peaks(slope, np.abs(away_mm) <= SEARCH_MM)
    if not len(peaks):
        return None
    top = int(peaks[0])
    noise = float(np.median(falls.std(axis=0, ddof=1))) / np.sqrt(BANDS)
    times_noise = float(slope[top] / noise) if noise > 0.0 else np.inf
    if times_noise < LEAST_TIMES_NOISE or not _is_alone(slope, peaks, pixel_mm):
        return None
    left, middle, right = slope[top - 1 : top + 2]
    between = 0.5 * (left - right) / (left - 2.0 * middle + right)
    return CrownEdge(
        shift_mm=float(away_mm[top] + pixel_mm * between), times_noise=min(times_noise, 1e6)
    )


def outward_of(name: str, view: View, *, mirrored: bool) -> float | None:
    """Which way a contact mark's outside lies in the picture; None for every other mark.

    Raises
    ------
    UnknownLandmarkError, UnknownToothError
    """
    landmark = parse_landmark(name)
    if not isinstance(landmark, SurfaceLandmark) or landmark.feature is not Feature.OUTLINE:
        return None
    to_front = 1.0 if landmark.surface is Surface.MESIAL else -1.0
    return to_front * view.region.front_sign * (-1.0 if mirrored else 1.0)


def _strip(
    pixels: NDArray[np.uint16], at_px: tuple[float, float], pixel_mm: float
) -> tuple[int, Floats] | None:
    """First column and bands (BANDS, n) of the strip about a mark; None if it leaves the film."""
    x, y = at_px
    reach = SEARCH_MM + BESIDE_MM + 4.0 * SMOOTHED_MM
    top, bottom = (round(y + side * HALF_STRIP_MM / pixel_mm) for side in (-1.0, 1.0))
    first, last = int(np.floor(x - reach / pixel_mm)), int(np.ceil(x + reach / pixel_mm))
    rows, columns = pixels.shape
    if top < 0 or first < 0 or bottom > rows or last > columns or bottom - top < BANDS:
        return None
    cut = pixels[top:bottom, first:last].astype(np.float64)
    return first, np.stack([band.mean(axis=0) for band in np.array_split(cut, BANDS)])


def _peaks(slope: Floats, near: NDArray[np.bool_]) -> NDArray[np.int_]:
    """Places where the slope is greatest, the steepest first."""
    inner = slope[1:-1]
    is_peak = (inner > slope[:-2]) & (inner >= slope[2:]) & (inner > 0.0) & near[1:-1]
    found = 1 + np.flatnonzero(is_peak)
    return found[np.argsort(-slope[found])]


def _is_alone(slope: Floats, peaks: NDArray[np.int_], pixel_mm: float) -> bool:
    """Whether the steepest place has no rival, stands out on both sides and is narrow."""
    top = int(peaks[0])
    height = slope[top]
    if len(peaks) > 1 and slope[peaks[1]] > MOST_RIVAL * height:
        return False
    reach = int(BESIDE_MM / pixel_mm)
    before, after = slope[max(top - reach, 0) : top], slope[top + 1 : top + 1 + reach]
    if max(before.min(), after.min()) > (1.0 - LEAST_STANDING_OUT) * height:
        return False
    low = np.flatnonzero(slope <= 0.5 * height)
    width = low[low > top].min(initial=len(slope)) - low[low < top].max(initial=-1)
    return bool(width * pixel_mm <= MOST_WIDTH_MM)


__all__ = ["SEARCH_MM", "CrownEdge", "crown_edge", "outward_of"]

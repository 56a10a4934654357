"""Where a crown's outer border lies in the picture beside a mark, if that is sure.

Outward from a crown the picture gets darker at its border: bright is dense, and at an overlap the
neighbour's own border gets brighter that way, so each crown finds its own. Nothing is taken where
a second edge rivals the first, where brightness falls off slowly as inside enamel, or where the
rows of the strip do not tell the same.

Contacts only. Crest marks were tried and are left alone: on films of modelled mouths the bone's
visible edge scatters 0.2 mm about the crest landmark, so that marks got no better by it.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

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

MOST_WIDTH_MM = 0.24
"""Width of the slope at half its height: wider, and it is no border. Our choice. [mm]"""

BESIDE_MM = 0.25
BANDS = 4

NEAR_MM = 0.15
"""So near to a mark grey falls outward where the mark lies on its border, sure or not. Our choice.
[mm]"""

LEAST_SHARE = 0.2
"""At least this share of the steepest slope about, up or down, such a fall has. Our choice."""

TRUNCATED_SD = 5.0
"""The smoothing reaches so many of its standard deviations; what is beyond changes nothing."""

BEYOND_PX = 1.0 / 3.0
"""A strip may reach so little beyond the film. Marks are kept to a quarter of a pixel, so none lies
just at this limit, and a pixel size told a little otherwise decides nothing. Our choice. [px]"""


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
    fall = _fall(pixels, at_px, pixel_mm=pixel_mm, outward=outward)
    if fall is None or fall.times_noise < LEAST_TIMES_NOISE or not fall.is_alone():
        return None
    return CrownEdge(shift_mm=fall.peaks[0].away_mm, times_noise=min(fall.times_noise, 1e6))


def border_width_mm(
    pixels: NDArray[np.uint16],
    at_px: tuple[float, float],
    *,
    pixel_mm: float,
    outward: float,
) -> float | None:
    """How wide the steepest fall near a mark is at half its height, sure to be a border or not.

    None where it does not stand above the noise. ``pixels`` (rows, columns) and the rest as
    `crown_edge`.
    """
    fall = _fall(pixels, at_px, pixel_mm=pixel_mm, outward=outward)
    if fall is None or fall.times_noise < LEAST_TIMES_NOISE:
        return None
    return fall.width_mm()


def falls_beside(
    pixels: NDArray[np.uint16],
    at_px: tuple[float, float],
    *,
    pixel_mm: float,
    outward: float,
) -> bool:
    """Whether grey falls outward just where a mark lies, as at a border, sure to be one or not.

    It does not where a mark was set on the neighbour's edge, from which grey rises. ``pixels``
    (rows, columns) and the rest as `crown_edge`.
    """
    fall = _fall(pixels, at_px, pixel_mm=pixel_mm, outward=outward)
    if fall is None:
        return False
    near = [peak.slope for peak in fall.peaks if abs(peak.away_mm) <= NEAR_MM]
    if not near:
        return False
    about = np.abs(fall.slope[np.abs(fall.away_mm) <= SEARCH_MM])
    times_noise = fall.times_noise * max(near) / fall.peaks[0].slope
    return max(near) >= LEAST_SHARE * about.max() and times_noise >= LEAST_TIMES_NOISE


class _Peak(NamedTuple):
    """A place where the slope is greatest, between pixels."""

    away_mm: float
    slope: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Fall:
    """How grey falls outward along a strip: slopes (n,), where each is, the steepest places."""

    slope: Floats
    away_mm: Floats
    peaks: Sequence[_Peak]
    times_noise: float

    def is_alone(self) -> bool:
        """Whether the steepest place has no rival, stands out on both sides and is narrow."""
        top = self.peaks[0]
        if len(self.peaks) > 1 and self.peaks[1].slope > MOST_RIVAL * top.slope:
            return False
        least = []
        for far_mm, falling in self._sides():
            within = falling[far_mm <= BESIDE_MM]
            least.append(min(within.min(), float(np.interp(BESIDE_MM, far_mm, falling))))
        stands_out = max(least) <= (1.0 - LEAST_STANDING_OUT) * top.slope
        return stands_out and self.width_mm() <= MOST_WIDTH_MM

    def width_mm(self) -> float:
        """Width of the steepest slope at half its height. [mm]"""
        half = 0.5 * self.peaks[0].slope
        return sum(_first_below(far_mm, falling, half) for far_mm, falling in self._sides())

    def _sides(self) -> Iterator[tuple[Floats, Floats]]:
        """How far from the steepest place, and the slope there, to the left and to the right."""
        top = self.peaks[0]
        for side, way in ((self.away_mm < top.away_mm, -1), (self.away_mm > top.away_mm, 1)):
            far_mm = np.abs(self.away_mm[side] - top.away_mm)[::way]
            yield (
                np.concatenate([[0.0], far_mm]),
                np.concatenate([[top.slope], self.slope[side][::way]]),
            )


def _fall(
    pixels: NDArray[np.uint16], at_px: tuple[float, float], *, pixel_mm: float, outward: float
) -> _Fall | None:
    """How grey falls near a mark; None where the strip leaves the film, or grey falls nowhere."""
    strip = _strip(pixels, at_px, pixel_mm)
    if strip is None:
        return None
    first, bands = strip
    falls = -outward * gaussian_filter1d(
        bands, SMOOTHED_MM / pixel_mm, axis=1, order=1, truncate=TRUNCATED_SD
    )
    slope = falls.mean(axis=0)
    away_mm = np.asarray(
        (first + np.arange(len(slope)) + 0.5 - at_px[0]) * pixel_mm, dtype=np.float64
    )
    peaks = _peaks(slope, away_mm)
    if not peaks:
        return None
    noise = float(np.median(falls.std(axis=0, ddof=1))) / np.sqrt(BANDS)
    times_noise = peaks[0].slope / noise if noise > 0.0 else np.inf
    return _Fall(slope=slope, away_mm=away_mm, peaks=peaks, times_noise=times_noise)


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
    half, reach = (
        of_mm / pixel_mm for of_mm in (HALF_STRIP_MM, SEARCH_MM + BESIDE_MM + 4.0 * SMOOTHED_MM)
    )
    rows, columns = pixels.shape
    first = int(np.floor(x - reach + BEYOND_PX))
    last = int(np.ceil(x + reach - BEYOND_PX))
    leaves = min(y - half, rows - y - half) < -BEYOND_PX or first < 0 or last > columns
    if leaves or 2.0 * half < BANDS - BEYOND_PX:
        return None
    top, bottom = max(y - half, 0.0), min(y + half, float(rows))
    # Rows count by the share of them that a band covers, so that no rounding decides.
    ends = np.linspace(top, bottom, BANDS + 1)
    row = np.arange(int(np.floor(top)), int(np.ceil(bottom)))
    shares = np.minimum(ends[1:, None], row + 1.0) - np.maximum(ends[:-1, None], row)
    shares = np.clip(shares, 0.0, None)
    cut = pixels[row[0] : row[-1] + 1, first:last].astype(np.float64)
    return first, shares @ cut / shares.sum(axis=1, keepdims=True)


def _peaks(slope: Floats, away_mm: Floats) -> list[_Peak]:
    """Places near the mark where the slope is greatest, the steepest first."""
    left, middle, right = slope[:-2], slope[1:-1], slope[2:]
    at = np.flatnonzero((middle > left) & (middle >= right) & (middle > 0.0))
    bend = left[at] - 2.0 * middle[at] + right[at]
    between = 0.5 * (left[at] - right[at]) / bend
    places = away_mm[1 + at] + (away_mm[1] - away_mm[0]) * between
    heights = middle[at] - 0.25 * (left[at] - right[at]) * between
    found = [
        _Peak(float(place), float(height))
        for place, height in zip(places, heights, strict=True)
        if abs(place) <= SEARCH_MM
    ]
    return sorted(found, key=lambda peak: -peak.slope)


def _first_below(far_mm: Floats, falling: Floats, level: float) -> float:
    """How far from a peak its side (n,) first falls to a level, between pixels. [mm]"""
    low = np.flatnonzero(falling <= level)
    if not len(low):
        return float(far_mm[-1])
    n = int(low[0])
    share = (falling[n - 1] - level) / (falling[n - 1] - falling[n])
    return float(far_mm[n - 1] + share * (far_mm[n] - far_mm[n - 1]))


__all__ = ["SEARCH_MM", "CrownEdge", "border_width_mm", "crown_edge", "falls_beside", "outward_of"]

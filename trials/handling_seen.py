"""Which fault of handling a film's pixels show, beside the good film of the same exposure.

By statistics of the two pictures alone: nothing here knows how such faults are drawn. The limits
were set on the standard mouth; other mouths judge them.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from bitewright.teaching.fault_names import PlantedFault

Picture = NDArray[np.float64]

SMOOTH_MM, GRAIN_MM, CORNER_MM = 1.0, 0.15, 15.0
LEVELS = 24
LINE_GREY = 0.12
SECOND, EVEN_SHARE, PALER, GRAIN_TIMES, SLOWLY, LINES, CORNER, EDGES = (
    *(0.6, 0.02, 0.1, 1.8, 0.12),
    *(0.85, 0.65, 0.8),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Differences:
    """What a picture has otherwise than the good one.

    Parameters
    ----------
    mirrored : float
        How much more it is like the good one's mirror image than like itself, as correlation.
    second : float
        How like what the good one does not explain is to the good one upside down, shifted.
    grain : float
        Fine noise over the good one's.
    paler : float
        Mean difference.
    by_place : float
        Of what differs slowly, the share that the grey of the good one does not explain.
    slowly : float
        Deviation of what differs slowly.
    in_corner : float
        Share of what differs sharply that lies in one corner.
    lines : float
        Share of what differs sharply that is brighter.
    sharply : float
        Share of the picture that differs sharply.
    edges : float
        Contrast across the good one's edges, over its own.
    """

    mirrored: float
    second: float
    grain: float
    paler: float
    by_place: float
    slowly: float
    in_corner: float
    lines: float
    sharply: float
    edges: float


def handling_seen(film: Picture, good: Picture, *, pixel_mm: float) -> PlantedFault | None:
    """The fault of handling that a picture shows, None if none.

    Parameters
    ----------
    film, good : (rows, columns) float array
        Grey from 0 to 1, both with noise.
    pixel_mm : float
    """
    of = differences(film, good, pixel_mm=pixel_mm)
    is_even = of.by_place < EVEN_SHARE and abs(of.paler) > PALER
    shown = {
        PlantedFault.RECEPTOR_REVERSED: of.mirrored > 0.0,
        PlantedFault.EXPOSED_TWICE: of.second > SECOND and of.paler < -PALER,
        PlantedFault.OVER_EXPOSED: is_even and of.paler < 0.0,
        PlantedFault.UNDER_EXPOSED: is_even or of.grain > GRAIN_TIMES,
        PlantedFault.LIT: of.slowly > SLOWLY,
        PlantedFault.SCRATCHED: of.lines > LINES,
        PlantedFault.RECEPTOR_BENT: of.in_corner > CORNER,
        PlantedFault.MOVED: of.edges < EDGES,
    }
    return next((fault for fault, is_shown in shown.items() if is_shown), None)


def differences(film: Picture, good: Picture, *, pixel_mm: float) -> Differences:
    """What a picture has otherwise than the good one, (rows, columns) of grey from 0 to 1."""
    toned = _toned(film, good)
    changed = film - good
    slow = ndimage.gaussian_filter(changed, SMOOTH_MM / pixel_mm)
    by_grey = ndimage.gaussian_filter(toned - good, SMOOTH_MM / pixel_mm)
    rest = film - toned
    sharp = abs(ndimage.gaussian_filter(rest, GRAIN_MM / pixel_mm)) > LINE_GREY
    rows, columns = np.indices(film.shape)
    corners = [
        np.hypot(rows - r, columns - c) < CORNER_MM / pixel_mm
        for r in (0, film.shape[0])
        for c in (0, film.shape[1])
    ]
    count = max(int(sharp.sum()), 1)
    return Differences(
        mirrored=_alike(film, good[:, ::-1]) - _alike(film, good),
        second=_upside_down(rest, good),
        grain=_grain(film) / _grain(good),
        paler=float(changed.mean()),
        by_place=float(np.mean((slow - by_grey) ** 2) / max(np.mean(slow**2), 1e-9)),
        slowly=float(slow.std()),
        in_corner=max(float(sharp[corner].sum()) / count for corner in corners),
        lines=float((rest[sharp] > 0.0).mean()) if sharp.any() else 0.0,
        sharply=float(sharp.mean()),
        edges=_edges(film, good, pixel_mm),
    )


def _alike(one: Picture, other: Picture) -> float:
    return float(np.corrcoef(one.ravel(), other.ravel())[0, 1])


def _toned(film: Picture, good: Picture) -> Picture:
    """The good picture with the film's mean grey at each of its levels."""
    bounds = np.quantile(good, np.linspace(0.0, 1.0, LEVELS + 1)[1:-1])
    level = np.searchsorted(bounds, good)
    means = np.array([film[level == k].mean() for k in range(LEVELS)])
    middles = np.array([good[level == k].mean() for k in range(LEVELS)])
    return np.asarray(np.interp(good, middles, means))


def _upside_down(rest: Picture, good: Picture) -> float:
    """The best correlation of what is left with the good one turned by half, shifted sideways."""
    turned = good[::-1, ::-1]
    best = 0.0
    wide = good.shape[1]
    for shift in range(-wide // 3, wide // 3, 4):
        one = rest[:, max(shift, 0) : wide + min(shift, 0)]
        other = turned[:, max(-shift, 0) : wide - max(shift, 0)]
        best = max(best, -_alike(one, -other), _alike(-one, -other))
    return best


def _grain(picture: Picture) -> float:
    fine = picture[1:-1, 1:-1] - 0.25 * (
        picture[:-2, 1:-1] + picture[2:, 1:-1] + picture[1:-1, :-2] + picture[1:-1, 2:]
    )
    return float(np.median(abs(fine))) + 1e-6


def _edges(film: Picture, good: Picture, pixel_mm: float) -> float:
    slopes = [
        ndimage.gaussian_gradient_magnitude(each, GRAIN_MM / pixel_mm) for each in (film, good)
    ]
    strong = slopes[1] > np.quantile(slopes[1], 0.97)
    return float(slopes[0][strong].mean() / slopes[1][strong].mean())


__all__ = ["Differences", "differences", "handling_seen"]

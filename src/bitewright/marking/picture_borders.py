"""What a film's own grey says of where the border lies that a mark was set on.

Along the row, the picture gets darker outward where a crown or root ends; at a bone crest it gets
brighter towards the roots. How much likelier a slope as steep, beside all slopes near by, is at a
border that is marked than anywhere else was counted on films whose places are known
(``tables/picture_borders.toml``). No network has a part in that; where one looked as well
(`bitewright.tasks.second_look`), what it saw is kept beside.

Nothing is said of cusps, which overlie one another, nor of the height of edges and junctions: their
borders run on in height.
"""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from importlib.resources import files
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter1d, maximum_filter1d

from bitewright.marking.marks import MarkedFilm, MarkStatus, Mounting
from bitewright.mouth.landmark_names import Feature, Surface, SurfaceLandmark, parse_landmark
from bitewright.mouth.tooth_forms import is_upper
from bitewright.quality.views import View

Floats = NDArray[np.float64]

REACH_MM, STEP_MM = 1.5, 0.1
PLACES_MM = np.linspace(-REACH_MM, REACH_MM, round(2.0 * REACH_MM / STEP_MM) + 1)
"""How far from its mark a border is looked for, outward and towards the roots. Our choice. [mm]"""

COARSEST_PIXEL_MM = 0.1
"""Of coarser films nothing is said. Our choice. [mm]"""

BANDS = 4
"""Each strip is cut into as many bands: what they do not agree on is noise."""

SEEN = 0.8
"""How surely a film shows borders as those that were counted do; else it tells nothing. Our choice:
looks differ more than ours do."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """Where a border's slope is looked for beside a mark. [mm]

    ``across_mm``: from and to, across the way of looking: downward of the mark, or of a crest
    outward. ``smoothed_mm``: standard deviation of the smoothing. ``brighter``: whether the picture
    gets brighter that way, else darker.
    """

    across_mm: tuple[float, float]
    smoothed_mm: float
    brighter: bool


ALONG = Strip(across_mm=(-0.3, 0.3), smoothed_mm=0.06, brighter=False)
IN_HEIGHT = Strip(across_mm=(-0.2, 0.6), smoothed_mm=0.15, brighter=True)
"""Of a crest: beside the root, where the bone's own edge lies. Our choice."""


class SeenAgain(NamedTuple):
    """Where a second look saw a landmark, from its mark, and with what spread. [mm]"""

    outward_mm: float
    rootward_mm: float
    sd_mm: float


class PlaceSeen(NamedTuple):
    """A place to the right and down from the picture's upper-left corner, and its spread. [mm]"""

    x_mm: float
    y_mm: float
    sd_mm: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PictureBorders:
    """How much likelier, by the picture, the border lies at each of `PLACES_MM` beside its mark.

    Parameters
    ----------
    outward, rootward : (P,) float arrays
        Logarithms of likelihood ratios; all 0 where the picture tells nothing that way.
    again : SeenAgain or None
        Where a second look saw the landmark.
    """

    outward: Floats
    rootward: Floats
    again: SeenAgain | None = None


def picture_borders(
    pixels: NDArray[np.uint16], film: MarkedFilm, view: View, *, pixel_mm: float
) -> dict[str, PictureBorders]:
    """What the picture tells of every mark of a film that it tells anything of.

    Parameters
    ----------
    pixels : (rows, columns) uint16 array
        As displayed, dense bright.
    film : MarkedFilm
    view : View
    pixel_mm : float
        Pixel size at the receptor. [mm]

    Raises
    ------
    UnknownLandmarkError, UnknownToothError
    """
    if pixel_mm > COARSEST_PIXEL_MM:
        return {}
    found = {}
    for name, mark in film.marks.items():
        if mark.status is not MarkStatus.SEEN or mark.x_px is None or mark.y_px is None:
            continue
        kind = kind_seen(name)
        if kind is None:
            continue
        slopes = slopes_beside(
            pixels,
            (mark.x_px, mark.y_px),
            pixel_mm=pixel_mm,
            kind=kind,
            outward=outward_in_picture(name, view, mirrored=film.mounting is Mounting.MIRRORED),
            rootward=_rootward_in_picture(name),
        )
        if slopes is None:
            continue
        told, nothing = _told(slopes, kind), np.zeros(len(PLACES_MM))
        is_crest = kind is Feature.CREST
        found[name] = PictureBorders(
            outward=nothing if is_crest else told, rootward=told if is_crest else nothing
        )
    return found


def with_second_look(
    borders: Mapping[str, PictureBorders],
    places: Mapping[str, PlaceSeen],
    film: MarkedFilm,
    view: View,
    *,
    pixel_mm: float,
) -> dict[str, PictureBorders]:
    """The same, beside where a second look saw each landmark that has a mark set by a person.

    A mark that was proposed by that same look is left out: it would agree with itself.

    Parameters
    ----------
    borders : mapping of landmark name to PictureBorders
    places : mapping of landmark name to PlaceSeen
    film : MarkedFilm
    view : View
    pixel_mm : float
        Pixel size at the receptor. [mm]

    Raises
    ------
    UnknownLandmarkError, UnknownToothError
    """
    found = dict(borders)
    nothing = PictureBorders(outward=np.zeros(len(PLACES_MM)), rootward=np.zeros(len(PLACES_MM)))
    for name, place in places.items():
        mark = film.marks.get(name)
        if mark is None or mark.x_px is None or mark.y_px is None or mark.origin is not None:
            continue
        outward = outward_in_picture(name, view, mirrored=film.mounting is Mounting.MIRRORED)
        again = SeenAgain(
            outward_mm=outward * (place.x_mm - mark.x_px * pixel_mm),
            rootward_mm=_rootward_in_picture(name) * (place.y_mm - mark.y_px * pixel_mm),
            sd_mm=place.sd_mm,
        )
        found[name] = replace(found.get(name, nothing), again=again)
    return found


KINDS = {Feature.OUTLINE: "edge", Feature.CEJ: "junction", Feature.CREST: "crest"}
"""What is told of, and its name in the table."""


def kind_seen(name: str) -> Feature | None:
    """What a landmark is, of those that a film shows the border of; else None."""
    landmark = parse_landmark(name)
    if isinstance(landmark, SurfaceLandmark) and landmark.feature in KINDS:
        return landmark.feature
    return None


def outward_in_picture(name: str, view: View, *, mirrored: bool) -> float:
    """+1 where the outside of a mark's surface lies to the right in the picture, else -1."""
    to_front = 1.0 if f".{Surface.MESIAL.value}" in name else -1.0
    return to_front * view.region.front_sign * (-1.0 if mirrored else 1.0)


def _rootward_in_picture(name: str) -> float:
    return -1.0 if is_upper(int(name[:2])) else 1.0


def slopes_beside(
    pixels: NDArray[np.uint16],
    at_px: tuple[float, float],
    *,
    pixel_mm: float,
    kind: Feature,
    outward: float,
    rootward: float,
) -> Floats | None:
    """How steep the picture is at `PLACES_MM` beside a mark, over what is usual there.

    Returns
    -------
    (P,) float array, or None where the film ends too near
    """
    x, y = at_px
    if kind is Feature.CREST:
        # Down the picture is along its rows: turned, one way of looking does for both.
        pixels, (x, y), ways = pixels.T, (y, x), (rootward, outward)
        strip = IN_HEIGHT
    else:
        ways, strip = (outward, 1.0), ALONG
    return _slopes(pixels, (x, y), ways, strip, pixel_mm)


def _slopes(
    pixels: NDArray[np.uint16],
    at: tuple[float, float],
    ways: tuple[float, float],
    strip: Strip,
    pixel_mm: float,
) -> Floats | None:
    """Of a strip along the columns: the way looked along, and the way that its width counts."""
    x, y = at
    rows, columns = pixels.shape
    ends = sorted(y + ways[1] * each / pixel_mm for each in strip.across_mm)
    top, bottom = max(round(ends[0]), 0), min(round(ends[1]), rows)
    smoothed = max(strip.smoothed_mm / pixel_mm, 0.8)
    reach = round(REACH_MM / pixel_mm + 4.0 * smoothed)
    first, last = max(int(x) - reach, 0), min(int(x) + reach + 1, columns)
    if bottom - top < BANDS or last - first < reach:
        return None
    cut = pixels[top:bottom, first:last].astype(np.float64)
    bands = np.stack([band.mean(axis=0) for band in np.array_split(cut, BANDS)])
    sign = ways[0] if strip.brighter else -ways[0]
    steep = sign * gaussian_filter1d(bands, smoothed, axis=1, order=1)
    slope = steep.mean(axis=0)
    away_mm = ways[0] * (np.arange(first, last) + 0.5 - x) * pixel_mm
    near = np.abs(away_mm) <= REACH_MM
    noise = float(np.median(steep.std(axis=0, ddof=1))) / np.sqrt(BANDS)
    usual = float(np.sqrt(np.mean(np.clip(slope[near], 0.0, None) ** 2) + noise**2))
    if usual <= 0.0:
        return None
    order = np.argsort(away_mm)
    widest = maximum_filter1d(slope, 2 * round(0.5 * STEP_MM / pixel_mm) + 1)
    near_by = np.interp(PLACES_MM, away_mm[order], widest[order], left=0.0, right=0.0)
    return np.asarray(near_by / usual)


def _told(slopes: Floats, kind: Feature) -> Floats:
    """Logarithms of likelihood ratios of slopes, softened by how surely the film is like ours."""
    counted = _table()[KINDS[kind]]
    ratio = np.exp(np.interp(slopes, counted["slope"], counted["log_ratio"]))
    return np.log(SEEN * ratio + (1.0 - SEEN))


@cache
def _table() -> Mapping[str, Mapping[str, Floats]]:
    text = (files("bitewright.marking") / "tables" / "picture_borders.toml").read_text("utf-8")
    return {
        kind: {name: np.array(values) for name, values in rows.items()}
        for kind, rows in tomllib.loads(text).items()
    }


__all__ = [
    "KINDS",
    "PLACES_MM",
    "PictureBorders",
    "PlaceSeen",
    "SeenAgain",
    "kind_seen",
    "outward_in_picture",
    "picture_borders",
    "slopes_beside",
    "with_second_look",
]

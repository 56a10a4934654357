"""Levels of a tooth's tissues and of the bone beside it, by one rule from landmarks.

A tooth's frame runs from its mesial to its distal contact (share 0 to 1) and from the contacts'
height rootward to the crests' (share 0 to 1). Metal and the film's border are left out.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter1d, map_coordinates

from builders.film_areas import Mask
from builders.marked_films import MarkedFilm
from trials.grain_power import LEAST_SIDE, Patch

Floats = NDArray[np.float64]

ENAMEL_SHARES, ENAMEL_MM, PROFILE_MM = (0.03, 0.22), 0.8, 0.1
SIDE_SHARES, CROWN_SHARES, NECK_SHARES = (0.24, 0.38), (0.35, 0.65), (0.9, 1.1)
PULP_SHARES, PULP_ROOTWARD = (0.25, 0.75), (0.9, 1.1)
GAP_SHARES, GAP_MM = (0.45, 0.75), 1.2

SEPTUM_MM, BELOW_CREST_MM, ASIDE_MM, LEAST_LENGTH_MM = (1.08, 3.0), 0.8, 1.0, 1.8
"""Width and length of septum patches, and where they begin; each lies where it is darkest within
so much to either side of the middle between the crests, for septa lean."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ToothFrame:
    """A tooth on a film: mesial contact, way to the distal one, way rootward to the crests."""

    start: Floats
    along: Floats
    rootward: Floats


def tooth_frame(film: MarkedFilm, code: int) -> ToothFrame | None:
    """The frame of a tooth, or None if a contact or both crests are not on the film."""
    ends = [film.places.get(f"{code}.{side}") for side in ("mesial", "distal")]
    found = (film.places.get(f"{code}.{side}.crest") for side in ("mesial", "distal"))
    crests = [crest for crest in found if crest is not None]
    if ends[0] is None or ends[1] is None or not crests:
        return None
    start = np.array(ends[0])
    along = np.array(ends[1]) - start
    square = np.array([-along[1], along[0]]) / np.hypot(*along)
    deep = float(np.mean([(np.array(crest) - start) @ square for crest in crests]))
    return ToothFrame(start=start, along=along, rootward=deep * square)


def tooth_levels(film: MarkedFilm, usable: Mask, frame: ToothFrame) -> dict[str, float]:
    """Enamel, dentine of crown and neck, and pulp of one tooth; NaN where nothing can be seen."""
    high = 0.5 * ENAMEL_MM / film.pixel_mm / float(np.hypot(*frame.rootward))
    caps, crown, neck = [], [], []
    for flip in (False, True):
        caps.append(_cap(film, usable, frame, _side(ENAMEL_SHARES, flip=flip), high))
        side = _side(SIDE_SHARES, flip=flip)
        crown.append(_middle(_sampled(film, usable, frame, side, CROWN_SHARES)))
        neck.append(_middle(_sampled(film, usable, frame, side, NECK_SHARES)))
    across = _sampled(film, usable, frame, PULP_SHARES, PULP_ROOTWARD)
    profile = _profile(across, film.pixel_mm)
    return {
        "enamel": _middle(np.array(caps)),
        "dentine": _middle(np.array(crown)),
        "neck": _middle(np.array(neck)),
        "pulp": float(profile.min()) if profile.size else float("nan"),
    }


def _side(shares: tuple[float, float], *, flip: bool) -> tuple[float, float]:
    return (1.0 - shares[1], 1.0 - shares[0]) if flip else shares


def _cap(
    film: MarkedFilm, usable: Mask, frame: ToothFrame, shares: tuple[float, float], high: float
) -> float:
    """The brightest place of one proximal enamel cap at the contacts' height."""
    profile = _profile(_sampled(film, usable, frame, shares, (-high, high)), film.pixel_mm)
    return float(profile.max()) if profile.size else float("nan")


def _profile(values: Floats, pixel_mm: float) -> Floats:
    """Medians across a strip, a little blurred, without places that hold nothing."""
    seen = values[:, np.isfinite(values).mean(axis=0) > 0.5]
    if not seen.size:
        return np.zeros(0)
    return np.asarray(gaussian_filter1d(np.nanmedian(seen, axis=0), PROFILE_MM / pixel_mm))


def _middle(values: Floats) -> float:
    """The median of what is there; NaN if little is."""
    finite = values[np.isfinite(values)]
    return float(np.median(finite)) if finite.size >= max(0.3 * values.size, 1) else float("nan")


def _sampled(
    film: MarkedFilm,
    usable: Mask,
    frame: ToothFrame,
    along: tuple[float, float],
    rootward: tuple[float, float],
) -> Floats:
    """Levels on a grid (rootward, along) of a tooth's frame, NaN where they are not usable."""
    shares = [
        np.linspace(a, b, max(int((b - a) * np.hypot(*way)), 3))
        for (a, b), way in ((along, frame.along), (rootward, frame.rootward))
    ]
    points = (
        frame.start
        + shares[0][None, :, None] * frame.along
        + shares[1][:, None, None] * frame.rootward
    )
    places = [points[..., 1], points[..., 0]]
    kept = map_coordinates(usable.astype(np.float32), places, order=1, cval=0.0)
    grey = map_coordinates(film.grey, places, order=1, mode="nearest")
    return np.where(kept > 0.99, grey, np.nan)


def gap_level(film: MarkedFilm, usable: Mask, front: int, back: int) -> float:
    """The darkest place between two necks: cheek and gum alone, between contact and crest."""
    found = _between(film, front, back)
    if found is None:
        return float("nan")
    contact, crest = found
    wide = round(0.5 * GAP_MM / film.pixel_mm)
    rows = np.linspace(*(contact[1] + share * (crest[1] - contact[1]) for share in GAP_SHARES), 9)
    row, column = rows.astype(int), round(float(contact[0] + 0.6 * (crest[0] - contact[0])))
    if not (wide <= column < film.grey.shape[1] - wide and usable[row, column].all()):
        return float("nan")
    strip = film.grey[row, column - wide : column + wide]
    return float(_profile(strip, film.pixel_mm).min())


def septum(film: MarkedFilm, usable: Mask, front: int, back: int) -> Patch | None:
    """The inner part of a septum below its crests, or None if the film shows too little of it."""
    found = _between(film, front, back)
    if found is None:
        return None
    contact, crest = found
    rootward = float(np.sign(crest[1] - contact[1]))
    ends = crest[1] + rootward * np.array([0.0, SEPTUM_MM[1]]) / film.pixel_mm
    ends += rootward * BELOW_CREST_MM / film.pixel_mm
    rows = np.arange(round(ends.min()), round(ends.max()))
    rows = rows[(rows >= 0) & (rows < film.grey.shape[0])]
    columns = _darkest_columns(film, usable, rows, float(crest[0]))
    return columns and Patch(
        top=int(columns[0]), bottom=int(columns[1]), left=columns[2], right=columns[3]
    )


def _darkest_columns(
    film: MarkedFilm, usable: Mask, rows: NDArray[np.int_], middle: float
) -> tuple[int, int, int, int] | None:
    """Rows and columns of the darkest place for a septum's patch."""
    wide = round(SEPTUM_MM[0] / film.pixel_mm)
    aside = round(ASIDE_MM / film.pixel_mm)
    first = round(middle) - wide // 2 - aside
    if first < 0 or first + wide + 2 * aside > film.grey.shape[1] or not rows.size:
        return None
    kept = rows[usable[rows, first + aside : first + aside + wide].all(axis=1)]
    if len(kept) * film.pixel_mm < LEAST_LENGTH_MM or wide < LEAST_SIDE:
        return None
    strip = film.grey[kept[0] : kept[-1] + 1, first : first + wide + 2 * aside].mean(axis=0)
    sums = np.convolve(strip, np.ones(wide), mode="valid")
    left = first + int(np.argmin(sums))
    return int(kept[0]), int(kept[-1]) + 1, left, left + wide


def _between(film: MarkedFilm, front: int, back: int) -> tuple[Floats, Floats] | None:
    """The middle of a contact and that of its crests. [pixels]"""
    names = f"{front}.distal", f"{back}.mesial"
    sides = [film.places.get(name) for name in names]
    crests = [film.places.get(f"{name}.crest") for name in names]
    if any(place is None for place in (*sides, *crests)):
        return None
    pairs = [[place for place in each if place is not None] for each in (sides, crests)]
    contact, crest = (np.mean(pair, axis=0) for pair in pairs)
    return np.asarray(contact), np.asarray(crest)

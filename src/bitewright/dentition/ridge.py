"""The ridge of one jaw's side in its own coordinates: along the row, towards the cheek, rootward.

Bone, sockets and the hard layer that lines them are all shaped in these coordinates, so that each
lies within the next by construction and no length of bone ever comes out negative.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import PchipInterpolator
from scipy.ndimage import gaussian_filter1d
from scipy.spatial import cKDTree

from bitewright.dentition.outlines import Outlines

Floats = NDArray[np.float64]

STEP_MM = 0.4
BEHIND_MM = 26.0
AHEAD_MM = 10.0
SMOOTHING_MM = 2.5
SHOULDER_MM = 0.7
"""How far the crest falls off towards cheek and tongue. Our choice."""

BEHIND_RISE_MM = {True: -2.5, False: 1.0}
"""The crest behind the last tooth, occlusally: tuberosity, and front of the ramus. Our choice."""


@dataclass(frozen=True, slots=False, kw_only=True, eq=False)
class Ridge:
    """The line under a row of teeth and the bone's crest over it, G stations along. [mm]

    Parameters
    ----------
    line_mouth, out_mouth : (G, 2) float arrays
        Stations seen from above, and the horizontal unit direction to the cheek at each.
    crest_mm, half_mm : (G,) float arrays
        Height of the crest in the mouth frame; half the breadth of the necks.
    rootward : float
        +1 in the upper jaw, -1 in the lower: the sign of z towards the roots.
    """

    line_mouth: Floats
    out_mouth: Floats
    crest_mm: Floats
    half_mm: Floats
    rootward: float

    @cached_property
    def _tree(self) -> cKDTree:
        return cKDTree(self.line_mouth)

    def place(self, points_mouth: Floats) -> tuple[Floats, Floats]:
        """Station (not rounded) and offset to the cheek [mm] of points (..., 2 or 3)."""
        _, near = self._tree.query(points_mouth[..., :2])
        away = points_mouth[..., :2] - self.line_mouth[near]
        out = self.out_mouth[near]
        along = np.stack([out[..., 1], -out[..., 0]], axis=-1) * self._turn
        station = near + np.einsum("...c,...c->...", away, along) / STEP_MM
        offset = np.einsum("...c,...c->...", away, out)
        return np.clip(station, 0.0, len(self.crest_mm) - 1.0), offset

    @cached_property
    def _turn(self) -> float:
        """Which way round the row runs: +1 or -1."""
        step = self.line_mouth[1] - self.line_mouth[0]
        out = self.out_mouth[0]
        return float(np.sign(step @ [out[1], -out[0]]))

    def crest(self, station: Floats, offset: Floats) -> Floats:
        """Height of the bone's surface in the mouth frame. [mm]"""
        at = np.arange(len(self.crest_mm))
        share = np.abs(offset) / np.interp(station, at, self.half_mm)
        fall = SHOULDER_MM * np.minimum(share, 1.15) ** 4
        return np.asarray(np.interp(station, at, self.crest_mm) + self.rootward * fall)

    def depth(self, points_mouth: Floats) -> Floats:
        """How deep points (..., 3) lie below the bone's surface. [mm]"""
        station, offset = self.place(points_mouth)
        return self.rootward * (points_mouth[..., 2] - self.crest(station, offset))


def ridge(outlines: Outlines, quadrant: int) -> Ridge | None:
    """The ridge of a quadrant, from across the midline to well behind its last tooth."""
    own = sorted(c for c in outlines.codes if c // 10 == quadrant)
    other = {1: 2, 2: 1, 3: 4, 4: 3}[quadrant]
    across = sorted((c for c in outlines.codes if c // 10 == other and c % 10 <= 3), reverse=True)
    if len(own) < 2:
        return None
    codes = across + own
    rows = [outlines.row[code] for code in codes]
    line = _line(outlines.origins_mouth[rows, :2])
    step = np.gradient(line, axis=0)
    out = np.column_stack([step[:, 1], -step[:, 0]])
    out /= np.linalg.norm(out, axis=1)[:, None]
    out *= np.sign(np.sum(out[len(out) // 2] * outlines.axes_mouth[rows[-1], 1, :2]))
    rootward = 1.0 if quadrant in (1, 2) else -1.0
    plain = Ridge(
        line_mouth=line,
        out_mouth=out,
        crest_mm=np.zeros(len(line)),
        half_mm=np.ones(len(line)),
        rootward=rootward,
    )
    crest, half = _crest(outlines, codes, quadrant, plain)
    return Ridge(line_mouth=line, out_mouth=out, crest_mm=crest, half_mm=half, rootward=rootward)


def _line(middles: Floats) -> Floats:
    """Evenly spaced stations along a smooth line through the teeth, run on at both ends."""
    first, last = (_unit(middles[0] - middles[1]), _unit(middles[-1] - middles[-2]))
    # The opposite half of the row bends back: run on across it, not straight ahead.
    ends = middles[0] + AHEAD_MM * first, middles[-1] + BEHIND_MM * last
    whole = np.vstack([ends[0], middles, ends[1]])
    for sigma in (SMOOTHING_MM, 0.0):
        place = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(whole, axis=0), axis=1))])
        even = np.arange(0.0, place[-1], STEP_MM)
        whole = np.column_stack([np.interp(even, place, whole[:, k]) for k in (0, 1)])
        if sigma:
            whole = gaussian_filter1d(whole, sigma / STEP_MM, axis=0, mode="nearest")
    # Smoothing with a constant edge draws the ends together: leave them out.
    return whole[8:-8]


def _unit(vector: Floats) -> Floats:
    return np.asarray(vector / np.linalg.norm(vector))


def _crest(
    outlines: Outlines, codes: list[int], quadrant: int, plain: Ridge
) -> tuple[Floats, Floats]:
    """Crest height through the outlines' crest points, scalloped between; half breadths."""
    points, halves = [], []
    for code in codes:
        tooth, row = outlines.mouth.teeth[code], outlines.row[code]
        ends = [outlines.points_mouth[f"{code}.{side}.crest"] for side in ("mesial", "distal")]
        below = -0.5 * (tooth.crest_mesial_mm + tooth.crest_distal_mm)
        middle = outlines.origins_mouth[row] + below * outlines.axes_mouth[row, 2]
        points += [ends[0], middle, ends[1]]
        halves += [0.5 * tooth.bl_cervix_mm] * 3
    station, _ = plain.place(np.array(points))
    order = np.argsort(station, kind="stable")
    at, height, half = station[order], np.array(points)[order, 2], np.array(halves)[order]
    at, height, half = _apart(at, height, half)
    stations = np.arange(len(plain.line_mouth), dtype=float)
    last = at[-1] + 12.0 / STEP_MM
    height_behind = height[-1] - plain.rootward * BEHIND_RISE_MM[quadrant in (1, 2)]
    line = PchipInterpolator(np.append(at, last), np.append(height, height_behind))
    crest = line(np.clip(stations, at[0], last))
    crest = gaussian_filter1d(crest, 0.4 / STEP_MM, mode="nearest")
    breadth = gaussian_filter1d(np.interp(stations, at, half), 2.0 / STEP_MM, mode="nearest")
    return np.asarray(crest), np.asarray(breadth)


def _apart(at: Floats, height: Floats, half: Floats) -> tuple[Floats, Floats, Floats]:
    """Knots closer than a station apart are made one."""
    group = np.concatenate([[0], np.cumsum(np.diff(at) > 1.0)])
    count = np.bincount(group)
    return tuple(np.bincount(group, weights=v) / count for v in (at, height, half))  # type: ignore[return-value]


__all__ = ["STEP_MM", "Ridge", "ridge"]

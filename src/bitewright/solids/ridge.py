"""The ridge of one jaw's side in its own coordinates: along the row, towards the cheek, rootward.

Bone and gum are shaped in these coordinates. The crest passes through the outlines' crest points;
between a tooth's two it follows the neck, and where a tooth was lost it sags as healed bone does.
Figures: ``tables/ridge.toml``.
"""

from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import pairwise
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import PchipInterpolator
from scipy.ndimage import gaussian_filter1d
from scipy.spatial import cKDTree

from bitewright.figure_tables import figures_of
from bitewright.mouth.mouth import mirrored_code
from bitewright.mouth.outlines import Outlines

Floats = NDArray[np.float64]

STEP_MM = 0.4
"""Distance of stations along the line."""

BEHIND_MM = 30.0
"""The line goes on this far behind the last tooth."""

AHEAD_MM = 10.0
"""It goes on this far ahead of the first."""

ACROSS = 3
"""Places from the midline that the row goes on across it."""

SMOOTHING_MM = 2.5
"""Standard deviation of the blur that makes the line through the teeth smooth."""

HALF_SMOOTHING_MM = 2.0
"""That of the blur along the ridge's half breadth."""

DRAWN_IN = 8
"""Stations left out at both ends, which a blur with constant edges draws together."""

APART_STATIONS = 0.5
"""Places the crest passes through that lie nearer than this are made one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Defect:
    """An angular defect: bone gone beside one surface of a root.

    Parameters
    ----------
    station : float
        Where the surface meets the ridge's line; see `Ridge.place`.
    away : float
        +1 if the septum lies at greater stations than the root, else -1.
    depth_mm : float
        How far the bone's level at the root lies below the septum's crest. [mm]
    """

    station: float
    away: float
    depth_mm: float


@dataclass(frozen=True, slots=False, kw_only=True, eq=False)
class Ridge:
    """The line under a row of teeth and the bone's crest over it, G stations along. [mm]

    Parameters
    ----------
    line_mouth, out_mouth : (G, 2) float arrays
        Stations seen from above, and the horizontal unit direction to the cheek at each.
    crest_mm, half_mm : (G,) float arrays
        Height of the septa's crest in the mouth frame; half the breadth of the necks.
    rootward : float
        +1 in the upper jaw, -1 in the lower: the sign of z towards the roots.
    first, last : float
        Stations of the front surface of the foremost and the back surface of the last tooth.
    last_place : int
        Place of the last tooth from the midline, 1 to 8.
    knots : (K,) float array
        Stations of the outlines' crest points.
    defects : tuple of Defect
    """

    line_mouth: Floats
    out_mouth: Floats
    crest_mm: Floats
    half_mm: Floats
    rootward: float
    first: float = 0.0
    last: float = 0.0
    last_place: int = 7
    knots: Floats = field(default_factory=lambda: np.zeros(0))
    defects: tuple[Defect, ...] = ()

    @cached_property
    def _tree(self) -> cKDTree:
        return cKDTree(self.line_mouth)

    def place(self, points_mouth: Floats) -> tuple[Floats, Floats]:
        """Where points lie along and across the ridge.

        Parameters
        ----------
        points_mouth : (..., 2) or (..., 3) float array
            [mm]

        Returns
        -------
        station, offset : (...) float arrays
            Stations, not rounded; offsets towards the cheek. [-, mm]
        """
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

    def at(self, station: Floats, table: Floats) -> Floats:
        """A table (G,) looked up at stations between its own, of their shape (...)."""
        return np.asarray(np.interp(station, np.arange(len(table)), table))

    def crest(self, station: Floats, offset: Floats) -> Floats:
        """Height of the septa's crest in the mouth frame, without defects. [mm]

        Our model: it falls off with the square of the way from the line.

        Parameters
        ----------
        station, offset : float arrays
            Of shapes that fit one another; offsets towards the cheek. [-, mm]

        Returns
        -------
        float array
            Of the shape both make together. [mm]
        """
        share = np.abs(offset) / self.at(station, self.half_mm)
        fall = RIDGE.shoulder_mm * np.minimum(share, RIDGE.shoulder_reach) ** 2
        return np.asarray(self.at(station, self.crest_mm) + self.rootward * fall)

    def depth(self, points_mouth: Floats) -> Floats:
        """How deep points (..., 3) lie below the crest, without defects. [mm]"""
        station, offset = self.place(points_mouth)
        return self.rootward * (points_mouth[..., 2] - self.crest(station, offset))


def ridge(outlines: Outlines, quadrant: int) -> Ridge | None:
    """The ridge of a quadrant, from across the midline to well behind its last tooth.

    Our model: a smooth line through the teeth's necks, its crest through the outlines' crest points
    by a monotone cubic (Fritsch and Butland 1984, from memory).

    Parameters
    ----------
    outlines : Outlines
    quadrant : int
        1 to 4.

    Returns
    -------
    Ridge or None
        A side with fewer than two teeth takes its line from the other side; None where that has no
        more.
    """
    codes, middles = _row(outlines, quadrant)
    if len(middles) < 2:
        return None
    line = _line(middles)
    step = np.gradient(line, axis=0)
    out = np.column_stack([step[:, 1], -step[:, 0]])
    out /= np.linalg.norm(out, axis=1)[:, None]
    # Out is away from the middle of the mouth: at the back, away from the midline.
    out *= np.sign(out[-1, 0] * line[-1, 0])
    is_upper = quadrant in (1, 2)
    edentulous_mm = RIDGE.upper_edentulous_mm if is_upper else RIDGE.lower_edentulous_mm
    plain = Ridge(
        line_mouth=line,
        out_mouth=out,
        crest_mm=np.full(len(line), edentulous_mm),
        half_mm=np.full(len(line), RIDGE.healed_half_mm),
        rootward=1.0 if is_upper else -1.0,
        first=AHEAD_MM / STEP_MM,
        last=len(line) - BEHIND_MM / STEP_MM,
    )
    return _crested(outlines, codes, quadrant, plain) if codes else plain


def ridge_codes(outlines: Outlines, quadrant: int) -> tuple[int, ...]:
    """The teeth a quadrant's ridge hangs on."""
    own, beside = _sides(outlines, quadrant)
    return (*own, *(c for c in beside if c % 10 <= ACROSS or len(own) < 2))


def _sides(outlines: Outlines, quadrant: int) -> tuple[list[int], list[int]]:
    """Codes of a quadrant, and of the one across the midline."""
    other = mirrored_code(10 * quadrant + 1) // 10
    own = sorted(c for c in outlines.codes if c // 10 == quadrant)
    beside = sorted(c for c in outlines.codes if c // 10 == other)
    return own, beside


def _row(outlines: Outlines, quadrant: int) -> tuple[list[int], Floats]:
    """Own codes and those across the midline, and the middles of the row seen from above."""
    own, beside = _sides(outlines, quadrant)
    across = [c for c in reversed(beside) if c % 10 <= ACROSS]
    if len(own) >= 2:
        codes = across + own
        return codes, outlines.origins_mouth[[outlines.row[c] for c in codes], :2]
    middles = outlines.origins_mouth[[outlines.row[c] for c in across + beside]].reshape(-1, 3)
    # A side without teeth is the other side's mirror image.
    middles[len(across) :, 0] *= -1.0
    return [], middles[:, :2]


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
    return whole[DRAWN_IN:-DRAWN_IN]


def _unit(vector: Floats) -> Floats:
    return np.asarray(vector / np.linalg.norm(vector))


@dataclass(frozen=True, slots=True)
class _Knot:
    """A place the crest passes through: station, height, half breadth. [-, mm, mm]"""

    station: float
    height_mm: float
    half_mm: float


def _crested(outlines: Outlines, codes: list[int], quadrant: int, plain: Ridge) -> Ridge:
    """The same ridge with its crest through the outlines' crest points."""
    knots, crest_points = [], []
    defects: list[Defect] = []
    for code in codes:
        ahead, behind = ("mesial", "distal") if code // 10 == quadrant else ("distal", "mesial")
        for side, away in ((ahead, -1.0), (behind, 1.0)):
            knot, depth = _site(outlines, code, side, plain)
            knots.append(knot)
            crest_points.append(knot.station)
            if depth > 0.0:
                defects.append(Defect(station=knot.station, away=away, depth_mm=depth))
        knots.append(_middle(outlines, code, plain))
    ordered = _apart(_healed(sorted(knots, key=lambda knot: knot.station), plain.rootward))
    last = ordered[-1]
    behind_mm, falls_mm = RIDGE.retromolar_behind_mm, RIDGE.retromolar_rootward_mm
    if plain.rootward > 0:
        behind_mm, falls_mm = RIDGE.tuberosity_behind_mm, RIDGE.tuberosity_rootward_mm
    at = [k.station for k in ordered]
    height = [k.height_mm for k in ordered]
    stations = np.arange(len(plain.line_mouth), dtype=float)
    half = np.interp(stations, at, [k.half_mm for k in ordered])
    at += [last.station + back / STEP_MM for back in behind_mm]
    height += [last.height_mm + plain.rootward * fall for fall in falls_mm]
    return replace(
        plain,
        crest_mm=np.asarray(PchipInterpolator(at, height)(np.clip(stations, at[0], at[-1]))),
        half_mm=gaussian_filter1d(half, HALF_SMOOTHING_MM / STEP_MM, mode="nearest"),
        first=ordered[0].station,
        last=last.station,
        last_place=max(c % 10 for c in codes if c // 10 == quadrant),
        knots=np.array(crest_points),
        defects=tuple(defects),
    )


def _site(outlines: Outlines, code: int, side: str, plain: Ridge) -> tuple[_Knot, float]:
    """The septum's crest beside one surface, and how much lower the bone is at the root itself."""
    tooth = outlines.mouth.teeth[code]
    depth = tooth.defect_mesial_mm if side == "mesial" else tooth.defect_distal_mm
    point = outlines.points_mouth[f"{code}.{side}.crest"]
    station, _ = plain.place(point[None])
    height = float(point[2]) - plain.rootward * depth
    return _Knot(float(station[0]), height, 0.5 * tooth.bl_cervix_mm), depth


def _middle(outlines: Outlines, code: int, plain: Ridge) -> _Knot:
    """The crest beside the middle of a tooth, as deep below its neck as at its ends."""
    tooth, row = outlines.mouth.teeth[code], outlines.row[code]
    mesial = tooth.crest_mesial_mm - tooth.defect_mesial_mm
    distal = tooth.crest_distal_mm - tooth.defect_distal_mm
    below = 0.5 * (mesial + distal) * outlines.axes_mouth[row, 2]
    place = outlines.origins_mouth[row] - below
    station, _ = plain.place(place[None])
    return _Knot(float(station[0]), float(place[2]), 0.5 * tooth.bl_cervix_mm)


def _healed(ordered: list[_Knot], rootward: float) -> list[_Knot]:
    """Knots with two more in each gap of a lost tooth, lower and narrower."""
    filled = ordered[:1]
    for ahead, behind in pairwise(ordered):
        gap = behind.station - ahead.station
        if gap * STEP_MM > RIDGE.gap_mm:
            for share in (RIDGE.healed_from_share, 1.0 - RIDGE.healed_from_share):
                height = ahead.height_mm + share * (behind.height_mm - ahead.height_mm)
                sunk = height + rootward * RIDGE.healed_sag_mm
                filled.append(_Knot(ahead.station + share * gap, sunk, RIDGE.healed_half_mm))
        filled.append(behind)
    return filled


def _apart(ordered: list[_Knot]) -> list[_Knot]:
    """Knots closer than half a station are made one."""
    kept = [ordered[0]]
    for knot in ordered[1:]:
        if knot.station - kept[-1].station > APART_STATIONS:
            kept.append(knot)
        else:
            mean = 0.5 * (knot.height_mm + kept[-1].height_mm)
            kept[-1] = _Knot(kept[-1].station, mean, kept[-1].half_mm)
    return kept


class CrestLine(NamedTuple):
    """The crest's line along a row of teeth."""

    shoulder_mm: float
    shoulder_reach: float
    gap_mm: float
    healed_sag_mm: float
    healed_half_mm: float
    healed_from_share: float
    upper_edentulous_mm: float
    lower_edentulous_mm: float
    tuberosity_behind_mm: tuple[float, float, float, float]
    tuberosity_rootward_mm: tuple[float, float, float, float]
    retromolar_behind_mm: tuple[float, float, float, float]
    retromolar_rootward_mm: tuple[float, float, float, float]


RIDGE = figures_of(CrestLine, "bitewright.solids", "ridge")

__all__ = ["STEP_MM", "Defect", "Ridge", "ridge", "ridge_codes"]

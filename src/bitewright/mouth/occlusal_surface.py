"""The chewing surface: cones at the cusps, valleys where they meet, ridges at the ends.

A height field in the tooth's own axes. Where cones meet, fissures arise by themselves.
Slopes and roundness are our choice.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from bitewright.mouth.crown_sections import CrownSections
from bitewright.mouth.mouth import Tooth
from bitewright.mouth.tooth_forms import is_upper, tooth_form, tooth_size

Floats = NDArray[np.float64]

SLOPE = 0.58
TIP_ROUNDNESS_MM = 0.16
STEEPENING_PER_MM = 0.03
NO_CUSP_MM = -1e3
FURTHEST_OUT = 0.95
"""Share of a section's half-breadth beyond which its width is taken from there."""

SECOND_MOLAR = 7
LOW_FOLLOWS = 0.5
"""Of how far the tongue side's cusps stand from the usual place, what the low distolingual cusp of
upper second and third molars follows. Our choice."""

LOW_INSIDE_MM = 1.0
"""It stands so far before its crown's distal side at the height of contacts. Our choice."""

OWN_TIP_MM = 0.35
"""And so far at least it rises above the slopes of the cusps beside it, so that it has a tip of its
own, some 0.1 mm over the valley before it. Our choice."""


@dataclass(frozen=True, slots=True, eq=False)
class Cusps:
    """Cusp tips of T teeth in their own axes, padded to the same count.

    Parameters
    ----------
    tips_tooth : (T, Q, 3) float array
        Mesial, buccal, occlusal; unused rows lie `NO_CUSP_MM` deep. [mm]
    names : tuple of T tuples of str
        Names of the used rows.
    grown_mm : (T, Q) float array
        Heights of the tips before any wear. [mm]
    worn_to_mm : (T,) float array
        The height at which wear has cut a tooth flat, infinite where it has not. [mm]
    """

    tips_tooth: Floats
    names: tuple[tuple[str, ...], ...]
    grown_mm: Floats
    worn_to_mm: Floats

    def height_mm(self, tooth: NDArray[np.intp], mesial_mm: Floats, buccal_mm: Floats) -> Floats:
        """Height of the chewing surface at places of teeth, all of one shape. [mm]"""
        tips, grown = self.tips_tooth[tooth], self.grown_mm[tooth]
        across = np.hypot(mesial_mm[..., None] - tips[..., 0], buccal_mm[..., None] - tips[..., 1])
        cones = (grown - _down_mm(across)).max(axis=-1)
        return np.asarray(np.minimum(cones, self.worn_to_mm[tooth]))

    def grown_tips(self, row: int) -> Floats:
        """One tooth's tips before any wear, (Q, 3), unused rows left out. [mm]"""
        tips = np.column_stack([self.tips_tooth[row, :, :2], self.grown_mm[row]])
        return np.asarray(tips[self.grown_mm[row] > NO_CUSP_MM])

    def take(self, rows: list[int]) -> "Cusps":
        """The cusps of some of the teeth."""
        if rows == list(range(len(self.names))):
            return self
        names = tuple(self.names[row] for row in rows)
        return Cusps(self.tips_tooth[rows], names, self.grown_mm[rows], self.worn_to_mm[rows])


def cusps(codes: Sequence[int], teeth: Sequence[Tooth], sections: CrownSections) -> Cusps:
    """Place the cusps of teeth from the standard shares of their own sizes, and wear them flat.

    ``sections``, of the same teeth, keep low cusps inside their crowns.
    """
    usual = _usual_cusps(tuple(codes))
    size = np.array([(t.md_crown_mm, t.bl_crown_mm, t.crown_length_mm) for t in teeth])
    share = (size[:, 2] / usual.crown_mm)[:, None]
    tips = usual.shares.copy()
    tips[:, :, :2] *= size[:, None, :2]
    forward = np.array([(t.buccal_cusps_mm, t.lingual_cusps_mm) for t in teeth])[:, None]
    tips[:, :, 0] += np.where(tips[:, :, 1] > 0.0, forward[..., 0], forward[..., 1]) * usual.follows
    tips[:, :, 2] = np.where(usual.used, size[:, None, 2] - share * tips[:, :, 2], NO_CUSP_MM)
    _set_low(tips, usual.low, sections)
    grown = tips[:, :, 2].copy()
    wear = np.array([t.wear_mm for t in teeth])
    worn_to = np.where(wear > 0.0, grown.max(axis=1) - wear, np.inf)
    tips[:, :, 2] = np.minimum(grown, worn_to[:, None])
    return Cusps(tips, usual.names, grown, worn_to)


def _set_low(
    tips: Floats, low: tuple[NDArray[np.intp], NDArray[np.intp]], sections: CrownSections
) -> None:
    """Keep low cusps, given by rows and places, inside their crowns and above the slopes beside."""
    rows, place = low[0], tips[low]
    row = sections.at(rows, sections.contact_mm[rows].mean(axis=1))
    out = place[:, 1] - row[:, 2]
    left = 1.0 - np.minimum(np.abs(out) / row[:, 3], FURTHEST_OUT) ** row[:, 4]
    half = row[:, 1] * (1.0 + sections.taper[rows] * out) * left ** (1.0 / row[:, 4])
    distal = row[:, 0] - half + sections.shear[rows] * place[:, 1]
    place[:, 0] = np.maximum(place[:, 0], distal + LOW_INSIDE_MM)
    away = tips[rows, :, :2] - place[:, None, :2]
    slopes = tips[rows, :, 2] - _down_mm(np.hypot(away[..., 0], away[..., 1]))
    slopes[np.arange(len(rows)), low[1]] = NO_CUSP_MM
    place[:, 2] = np.maximum(place[:, 2], slopes.max(axis=1) + OWN_TIP_MM)
    tips[low] = place


def _down_mm(across_mm: Floats) -> Floats:
    """How far a cusp's cone has fallen at distances from its tip. [mm]"""
    down = np.hypot(SLOPE * across_mm, TIP_ROUNDNESS_MM) - TIP_ROUNDNESS_MM
    return np.asarray(down * (1.0 + STEEPENING_PER_MM * down))


@dataclass(frozen=True, slots=True, eq=False)
class _UsualCusps:
    """Cusps of T teeth as shares of sizes that are not known yet, padded to the same count.

    Parameters
    ----------
    shares : (T, Q, 3) float array
        As `tooth_forms.ToothForm.cusps`; unused rows `NO_CUSP_MM` deep.
    used : (T, Q) bool array
    follows : (T, Q) float array
        Of how far the cusps of its side move, what a cusp does.
    low : two (L,) int arrays
        Rows and places of the low distolingual cusps of upper second and third molars.
    names : tuple of T tuples of str
    crown_mm : (T,) float array
        Crown lengths that the shares' depths are told of. [mm]
    """

    shares: Floats
    used: NDArray[np.bool_]
    follows: Floats
    low: tuple[NDArray[np.intp], NDArray[np.intp]]
    names: tuple[tuple[str, ...], ...]
    crown_mm: Floats


@lru_cache(maxsize=64)
def _usual_cusps(codes: tuple[int, ...]) -> _UsualCusps:
    """The usual cusps of teeth. All follow the others of their side but one.

    The low distolingual cusp of upper second and third molars follows in part: the population's
    mean crown shows none, so that where its tongue side's cusps stand, 2 mm behind the usual, is
    told of the mesiolingual one alone. Further back the low one would lie outside the crown, in its
    usual place on the slope of the cusp before it.
    """
    shapes = [tooth_form(code).cusps for code in codes]
    most = max(len(shape) for shape in shapes)
    shares = np.full((len(codes), most, 3), (0.0, 0.0, NO_CUSP_MM))
    for row, shape in enumerate(shapes):
        shares[row, : len(shape)] = list(shape.values())
    used = shares[:, :, 2] != NO_CUSP_MM
    rows = [row for row, code in enumerate(codes) if is_upper(code) and code % 10 >= SECOND_MOLAR]
    places = [list(shapes[row]).index("distolingual") for row in rows]
    low = np.array(rows, dtype=np.intp), np.array(places, dtype=np.intp)
    follows = used.astype(np.float64)
    follows[low] = LOW_FOLLOWS
    return _UsualCusps(
        shares,
        used,
        follows,
        low,
        tuple(tuple(shape) for shape in shapes),
        np.array([tooth_size(code).crown_length_mm for code in codes]),
    )


def joined_cusps(parts: Sequence[Cusps]) -> Cusps:
    """The cusps of several arches as one table."""
    most = max(part.tips_tooth.shape[1] for part in parts)
    count = sum(len(part.names) for part in parts)
    tips, grown = np.zeros((count, most, 3)), np.full((count, most), NO_CUSP_MM)
    tips[:, :, 2] = NO_CUSP_MM
    first = 0
    for part in parts:
        rows, used = slice(first, first + len(part.names)), part.grown_mm.shape[1]
        tips[rows, :used], grown[rows, :used] = part.tips_tooth, part.grown_mm
        first += len(part.names)
    return Cusps(
        tips_tooth=tips,
        names=tuple(names for part in parts for names in part.names),
        grown_mm=grown,
        worn_to_mm=np.concatenate([part.worn_to_mm for part in parts]),
    )


__all__ = ["Cusps", "cusps", "joined_cusps"]

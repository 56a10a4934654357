"""Jaw bone as simple blocks along the row: cortex outside, spongiosa within, crest on top.

Thicknesses are our choice: crest 0.3 mm, plates 0.9 mm.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bitewright.dentition.lofts import loft
from bitewright.dentition.outlines import Outlines
from bitewright.space import ClosedMesh

Floats = NDArray[np.float64]

DEPTH_MM = 26.0
CREST_PLATE_MM = 0.3
SIDE_PLATE_MM = 0.9
BEHIND_MM = 22.0
ACROSS_POINTS = 9
SHOULDER_MM = 1.1
"""How far the crest falls off towards cheek and tongue."""


@dataclass(frozen=True, slots=True, eq=False)
class BoneShells:
    """One jaw's bone on one side, in the mouth frame, jaws closed. [mm]"""

    is_lower: bool
    cortex: ClosedMesh
    spongiosa: ClosedMesh


def bone_shells(outlines: Outlines, quadrant: int) -> BoneShells | None:
    """Bone of one quadrant, from across the midline to well behind the last tooth."""
    stations = _stations(outlines, quadrant)
    if stations is None:
        return None
    return BoneShells(
        is_lower=quadrant in (3, 4),
        cortex=_block(stations, 0.0, 0.0),
        spongiosa=_block(stations, CREST_PLATE_MM, SIDE_PLATE_MM),
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Stations:
    """Cross-sections along the row: crest points, half breadths, direction to the roots."""

    crest_mouth: Floats
    across_mouth: Floats
    half_mm: Floats
    rootward: float


def _stations(outlines: Outlines, quadrant: int) -> _Stations | None:
    own = sorted(c for c in outlines.codes if c // 10 == quadrant)
    other = {1: 20, 2: 10, 3: 40, 4: 30}[quadrant]
    codes = [c for c in (other + 2, other + 1) if c in outlines.row] + own
    if len(own) < 2:
        return None
    points, halves = [], []
    for code in codes:
        away = code // 10 != quadrant
        ends = septum_tops(outlines, code)
        first, last = (ends[1], ends[0]) if away else ends
        half = half_breadth_mm(outlines, code)
        points += [first, 0.5 * (first + last), last]
        halves += [half - 0.4, half, half - 0.4]
    # Neighbours share the top of the septum between them.
    keep = [i for i in range(len(points)) if i % 3 or i == 0]
    crest, half_mm = np.array(points)[keep], np.array(halves)[keep]
    rootward = -1.0 if quadrant in (3, 4) else 1.0
    crest, half_mm = _extended(crest, half_mm, rootward)
    along = np.gradient(crest, axis=0)
    across = np.column_stack([along[:, 1], -along[:, 0], np.zeros(len(along))])
    across /= np.linalg.norm(across, axis=1)[:, None]
    return _Stations(crest, across, half_mm, rootward)


def septum_tops(outlines: Outlines, code: int) -> tuple[Floats, Floats]:
    """Bone crest at the mesial and the distal end of a tooth, (3,) each, in the mouth frame. [mm]

    Between neighbours midway between their two crest points.
    """
    tops = []
    for side in ("mesial", "distal"):
        own = outlines.points_mouth[f"{code}.{side}.crest"]
        facing = outlines.points_mouth.get(f"{_facing(code, side)}.crest")
        tops.append(own if facing is None else 0.5 * (own + facing))
    return tops[0], tops[1]


def _facing(code: int, side: str) -> str:
    """The surface that faces a side of a tooth; across the midline mesial faces mesial."""
    if side == "distal":
        return f"{code + 1}.mesial"
    if code % 10 > 1:
        return f"{code - 1}.distal"
    across = {1: 21, 2: 11, 3: 41, 4: 31}[code // 10]
    return f"{across}.mesial"


def half_breadth_mm(outlines: Outlines, code: int) -> float:
    """Half the breadth of bone round a tooth: its neck and a plate. [mm]"""
    return 0.5 * outlines.mouth.teeth[code].bl_cervix_mm + 0.9


def _extended(crest: Floats, half: Floats, rootward: float) -> tuple[Floats, Floats]:
    """Run on behind the last tooth, sinking a little as the ridge does."""
    back = crest[-1] - crest[-2]
    back[2] = 0.0
    back /= np.linalg.norm(back)
    steps = np.array([3.0, 8.0, 15.0, BEHIND_MM])[:, None]
    sink = rootward * np.array([[0, 0, 0.6], [0, 0, 1.2], [0, 0, 1.5], [0, 0, 1.6]])
    more = crest[-1] + steps * back + sink
    return np.vstack([crest, more]), np.concatenate([half, np.full(4, half[-1])])


def _block(stations: _Stations, crest_plate: float, side_plate: float) -> ClosedMesh:
    """Loft rounded cross-sections along the row."""
    share = np.linspace(-1.0, 1.0, ACROSS_POINTS)
    up = np.array([0.0, 0.0, stations.rootward])
    rings = []
    ends = (0, len(stations.half_mm) - 1)
    for i, (crest, across, half) in enumerate(
        zip(stations.crest_mouth, stations.across_mouth, stations.half_mm, strict=True)
    ):
        inner = half - side_plate
        sunk = crest_plate + SHOULDER_MM * np.abs(share) ** 4
        top = crest + np.outer(share * inner, across) + np.outer(sunk, up)
        bottom = crest + np.outer(share[::-1] * (inner + 2.0), across) + DEPTH_MM * up
        if side_plate and i in ends:
            along = 1.0 if i == 0 else -1.0
            shift = along * side_plate * _along(stations, i)
            top, bottom = top + shift, bottom + shift
        if side_plate:
            bottom = bottom - side_plate * up
        rings.append(np.vstack([top, bottom]))
    return loft(np.stack(rings))


def _along(stations: _Stations, i: int) -> Floats:
    near = 1 if i == 0 else -1
    step = stations.crest_mouth[i + near] - stations.crest_mouth[i]
    direction = near * step / np.linalg.norm(step)
    return np.asarray(direction)


__all__ = [
    "CREST_PLATE_MM",
    "SHOULDER_MM",
    "BoneShells",
    "bone_shells",
    "half_breadth_mm",
    "septum_tops",
]

"""Jaw bone as simple blocks along the row: cortex outside, spongiosa within, crest on top.

Thicknesses are our choice: crest 0.3 mm, plates 0.9 mm. What is taken out of a block (a socket)
is pressed into it first, so that no ray ever meets less than no bone.
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
BESIDE_ROOT_MM = 1.5
"""Bone beside the neck of a root: its plate and a little spongiosa. Our choice."""

SHARES = np.linspace(-1.0, 1.0, 9)
"""Places across the rounded top, as shares of the half breadth."""

FLARE_MM = 2.0
"""How much further than the top the base reaches to either side."""

SHOULDER_MM = 1.1
"""How far the crest falls off towards cheek and tongue."""


@dataclass(frozen=True, slots=True, eq=False)
class BoneBlock:
    """A block swept along the row: rounded top, walls that widen towards its base.

    Parameters
    ----------
    crest_mouth, across_mouth : (S, 3) float arrays
        Crest points [mm] and horizontal unit directions across the row.
    half_mm : (S,) float array
        Half breadth under the rounded top. [mm]
    plate_mm : float
        How far the top lies below the crest points. [mm]
    base_mm : float
        Depth of the base below the crest points. [mm]
    rootward : float
        +1 where roots point up, -1 where they point down.
    """

    crest_mouth: Floats
    across_mouth: Floats
    half_mm: Floats
    plate_mm: float
    base_mm: float
    rootward: float

    def mesh(self) -> ClosedMesh:
        """The block as a closed surface."""
        side, depth = np.meshgrid(SHARES, [0.0, 1.0])
        rings = []
        for crest, across, half in zip(
            self.crest_mouth, self.across_mouth, self.half_mm, strict=True
        ):
            top = self.plate_mm + SHOULDER_MM * side[0] ** 4
            sink = np.concatenate([top, np.full(len(SHARES), self.base_mm)])
            out = np.concatenate([side[0] * half, side[1][::-1] * (half + FLARE_MM * depth[1])])
            rings.append(crest + np.outer(out, across) + np.outer(sink, [0.0, 0.0, self.rootward]))
        return loft(np.stack(rings))

    def pressed_in(self, points_mouth: Floats) -> Floats:
        """Points moved into the block: across the row first, then straight down. [mm]"""
        points = points_mouth.reshape(-1, 3)
        crest, across, half = self._cross_section(points)
        offset = ((points - crest)[:, :2] * across[:, :2]).sum(axis=1)
        offset /= (across[:, :2] ** 2).sum(axis=1)
        depth = self.rootward * (points[:, 2] - crest[:, 2])
        shoulder = self.plate_mm + SHOULDER_MM
        flare = np.clip((depth - shoulder) / (self.base_mm - shoulder), 0.0, 1.0)
        wall = half + FLARE_MM * flare
        offset = np.clip(offset, -wall, wall)
        share = np.clip(offset / half, -1.0, 1.0)
        top = self.plate_mm + np.interp(share, SHARES, SHOULDER_MM * SHARES**4)
        moved = crest + offset[:, None] * across
        moved[:, 2] = crest[:, 2] + self.rootward * np.clip(depth, top, self.base_mm)
        return np.asarray(moved.reshape(points_mouth.shape))

    def _cross_section(self, points: Floats) -> tuple[Floats, Floats, Floats]:
        """Crest point, across direction and half breadth of the section through each point."""
        away = points[:, None, :2] - self.crest_mouth[None, :, :2]
        across = self.across_mouth[None, :, :2]
        ahead = away[..., 0] * across[..., 1] - away[..., 1] * across[..., 0]
        span = ahead[:, :-1] - ahead[:, 1:]
        share = ahead[:, :-1] / np.where(np.abs(span) < 1e-9, 1e-9, span)
        beside = np.linalg.norm(0.5 * (away[:, :-1] + away[:, 1:]), axis=-1)
        outside = np.abs(share - np.clip(share, 0.0, 1.0)) * np.abs(span)
        i = (beside + 1e3 * outside).argmin(axis=1)
        t = np.clip(share[np.arange(len(points)), i], 0.0, 1.0)

        def between(values: Floats) -> Floats:
            weight = t if values.ndim == 1 else t[:, None]
            return np.asarray(values[i] + weight * (values[i + 1] - values[i]))

        return between(self.crest_mouth), between(self.across_mouth), between(self.half_mm)


@dataclass(frozen=True, slots=True, eq=False)
class BoneShells:
    """One jaw's bone on one side, in the mouth frame, jaws closed. [mm]"""

    is_lower: bool
    cortex: BoneBlock
    spongiosa: BoneBlock


def bone_shells(outlines: Outlines, quadrant: int) -> BoneShells | None:
    """Bone of one quadrant, from across the midline to well behind the last tooth."""
    row = _row(outlines, quadrant)
    if row is None:
        return None
    crest, half = row
    rootward = -1.0 if quadrant in (3, 4) else 1.0
    crest, half = _extended(crest, half, rootward)
    along = np.gradient(crest, axis=0)
    across = np.column_stack([along[:, 1], -along[:, 0], np.zeros(len(along))])
    across /= np.linalg.norm(across, axis=1)[:, None]
    cortex = BoneBlock(crest, across, half, 0.0, DEPTH_MM, rootward)
    inner = BoneBlock(
        _ends_drawn_in(crest),
        across,
        half - SIDE_PLATE_MM,
        CREST_PLATE_MM,
        DEPTH_MM - SIDE_PLATE_MM,
        rootward,
    )
    return BoneShells(is_lower=quadrant in (3, 4), cortex=cortex, spongiosa=inner)


def _row(outlines: Outlines, quadrant: int) -> tuple[Floats, Floats] | None:
    """Crest points and half breadths along a quadrant, begun across the midline."""
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
    return np.array(points)[keep], np.array(halves)[keep]


def _ends_drawn_in(crest: Floats) -> Floats:
    """The row's two ends moved in by a plate's thickness."""
    drawn = crest.copy()
    for end, near in ((0, 1), (-1, -2)):
        step = crest[near] - crest[end]
        drawn[end] += SIDE_PLATE_MM * step / np.linalg.norm(step)
    return drawn


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
    """Half the breadth of bone round a tooth: its neck and a plate on either side. [mm]"""
    return 0.5 * outlines.mouth.teeth[code].bl_cervix_mm + BESIDE_ROOT_MM


def _extended(crest: Floats, half: Floats, rootward: float) -> tuple[Floats, Floats]:
    """Run on behind the last tooth, sinking a little as the ridge does."""
    back = crest[-1] - crest[-2]
    back[2] = 0.0
    back /= np.linalg.norm(back)
    steps = np.array([3.0, 8.0, 15.0, BEHIND_MM])[:, None]
    sink = rootward * np.array([[0, 0, 0.6], [0, 0, 1.2], [0, 0, 1.5], [0, 0, 1.6]])
    more = crest[-1] + steps * back + sink
    return np.vstack([crest, more]), np.concatenate([half, np.full(4, half[-1])])


__all__ = ["BoneBlock", "BoneShells", "bone_shells"]

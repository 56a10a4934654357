"""Jaw bone along a row of teeth: cortex outside, spongiosa within, sockets lined with hard bone.

The blocks follow the roots: where a root leans out, so does the wall in front of it. Thicknesses
are our choice where no source is named.
"""

from dataclasses import dataclass
from functools import partial
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter, maximum_filter

from bitewright.dentition.lofts import loft
from bitewright.dentition.outlines import Outlines
from bitewright.dentition.ridge import STEP_MM, Ridge, ridge
from bitewright.dentition.sockets import SocketLimits, root_extent, socket_mesh
from bitewright.dentition.tooth_rings import ToothRings, tooth_rings
from bitewright.space import ClosedMesh

Floats = NDArray[np.float64]

DEPTHS_MM = np.array([0.0, 0.4, 1.0, 2.0, 3.5, 5.5, 8.0, 11.0, 15.0, 20.0, 26.0])
ACROSS = np.linspace(-1.0, 1.0, 29)
CREST_PLATE_MM = 0.22
SIDE_PLATE_MM = {True: 0.9, False: 1.5}
"""Plates towards cheek and tongue, upper and lower jaw, full a few mm below the crest."""

SOCKET_MM = 0.2
"""Periodontal space: 0.15 to 0.21 mm (general radiology reference)."""

LAMINA_MM = 0.2
"""Lamina dura: 0.2 to 0.5 mm, common practice, no source."""

GAP_MM = 0.03
"""Room kept between a socket and the wall it must not leave: more than its facets sag."""


@dataclass(frozen=True, slots=True, eq=False)
class BoneShells:
    """One jaw's bone on one side, in the mouth frame, jaws closed. [mm]

    ``sockets`` are the roots widened by the periodontal space, ``laminas`` the sockets with their
    hard lining, as far as it lies in the spongiosa.
    """

    is_lower: bool
    cortex: ClosedMesh
    spongiosa: ClosedMesh
    sockets: tuple[ClosedMesh, ...]
    laminas: tuple[ClosedMesh, ...]


def bone_shells(outlines: Outlines, quadrant: int, codes: tuple[int, ...]) -> BoneShells | None:
    """Bone of one quadrant with the sockets of some teeth, those across the midline included."""
    row = ridge(outlines, quadrant)
    if row is None:
        return None
    teeth = tooth_rings(outlines, codes)
    block = _Block.round_roots(row, teeth, is_upper=quadrant in (1, 2))
    planes = _planes_between(teeth, row)
    sockets, laminas = (
        tuple(socket_mesh(tooth, row, wider, limits[tooth.code]) for tooth in teeth)
        for wider, limits in (
            (SOCKET_MM, block.limits(planes, block.outside, 0.0)),
            (SOCKET_MM + LAMINA_MM, block.limits(planes, block.inside, CREST_PLATE_MM)),
        )
    )
    return BoneShells(
        is_lower=quadrant in (3, 4),
        cortex=block.mesh(block.outside, 0.0, ends=0),
        spongiosa=block.mesh(block.inside, CREST_PLATE_MM, ends=2),
        sockets=sockets,
        laminas=laminas,
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Block:
    """Walls of the bone: offsets (2, G, D) to tongue and cheek at stations and depths. [mm]"""

    ridge: Ridge
    outside: Floats
    inside: Floats

    @classmethod
    def round_roots(cls, row: Ridge, teeth: tuple[ToothRings, ...], *, is_upper: bool) -> "_Block":
        walls = np.stack([_wall(row, teeth, side) for side in (-1.0, 1.0)])
        grown = 0.3 + 0.7 * (1.0 - np.exp(-DEPTHS_MM / 3.0))
        plate = SIDE_PLATE_MM[is_upper] * grown
        return cls(row, walls, walls - np.array([-1.0, 1.0])[:, None, None] * plate)

    def limits(
        self, planes: dict[int, Floats], wall: Floats, below_mm: float
    ) -> dict[int, SocketLimits]:
        """What each tooth's socket may not leave."""
        walls = partial(self.set_back, wall=wall)
        return {code: SocketLimits(each, walls, below_mm) for code, each in planes.items()}

    def set_back(self, points_mouth: Floats, wall: Floats) -> Floats:
        """Points set back between walls, across the ridge."""
        station, offset = self.ridge.place(points_mouth)
        depth = self.ridge.rootward * (points_mouth[..., 2] - self.ridge.crest(station, offset))
        low, high = (_looked_up(side, station, depth) for side in wall)
        kept = np.clip(offset, low + GAP_MM, high - GAP_MM)
        whole = np.clip(np.rint(station).astype(int), 0, len(self.ridge.out_mouth) - 1)
        moved = points_mouth.copy()
        moved[..., :2] += (kept - offset)[..., None] * self.ridge.out_mouth[whole]
        return moved

    def mesh(self, wall: Floats, below_mm: float, *, ends: int) -> ClosedMesh:
        """Loft the cross-sections along the ridge, so many stations short at both ends."""
        row = self.ridge
        rings = []
        for g in range(ends, len(row.crest_mm) - ends):
            tongue, cheek = wall[0, g], wall[1, g]
            middle, half = 0.5 * (cheek[0] + tongue[0]), 0.5 * (cheek[0] - tongue[0])
            offset = np.concatenate([middle + half * ACROSS, cheek[1:], tongue[:0:-1]])
            station = np.full(len(offset), float(g))
            top = row.crest(station, offset)
            depth = np.concatenate([0 * ACROSS, DEPTHS_MM[1:], DEPTHS_MM[:0:-1]])
            deep = np.maximum(depth, below_mm) if below_mm else depth
            z = top + row.rootward * deep
            plan = row.line_mouth[g] + offset[:, None] * row.out_mouth[g]
            rings.append(np.column_stack([plan, z]))
        return loft(np.stack(rings))


def _wall(row: Ridge, teeth: tuple[ToothRings, ...], side: float) -> Floats:
    """Offsets (G, D) of one wall: a plain ridge, bulging where roots come near it."""
    count = len(row.crest_mm)
    back = np.linspace(0.0, 1.0, count)[:, None]
    depth = DEPTHS_MM[None, :]
    plain = (
        row.half_mm[:, None]
        - 0.2
        + 0.45 * (1.0 - np.exp(-depth / 1.2))
        + (0.7 + 1.5 * back) * (1.0 - np.exp(-depth / 3.5))
    )
    roots = np.full((count, len(DEPTHS_MM)), -np.inf)
    cover = np.clip(0.25 + 0.13 * DEPTHS_MM, 0.0, 0.9)
    for tooth in teeth:
        points = root_extent(tooth, SOCKET_MM)
        station, offset = row.place(points)
        deep = row.rootward * (points[:, 2] - row.crest(station, offset))
        kept = deep > -1.0
        g = np.clip(np.rint(station[kept]).astype(int), 0, count - 1)
        d = np.abs(deep[kept][:, None] - DEPTHS_MM).argmin(axis=1)
        np.maximum.at(roots, (g, d), side * offset[kept])
    reach = maximum_filter(roots, size=(round(2.4 / STEP_MM), 3), mode="nearest") + cover
    wall = np.maximum(plain, reach)
    return np.asarray(side * gaussian_filter(wall, (1.0 / STEP_MM, 0.5), mode="nearest"))


def _looked_up(table: Floats, station: Floats, depth: Floats) -> Floats:
    """Bilinear look-up of a (G, D) table."""
    g = np.clip(station, 0.0, len(table) - 1.001)
    d = np.clip(np.interp(depth, DEPTHS_MM, np.arange(len(DEPTHS_MM))), 0, len(DEPTHS_MM) - 1.001)
    i, j = g.astype(int), d.astype(int)
    s, t = g - i, d - j
    near = table[i, j] + t * (table[i, j + 1] - table[i, j])
    far = table[i + 1, j] + t * (table[i + 1, j + 1] - table[i + 1, j])
    return np.asarray(near + s * (far - near))


def _planes_between(teeth: tuple[ToothRings, ...], row: Ridge) -> dict[int, Floats]:
    """For each tooth the planes (P, 4) midway between its root and its neighbours'."""
    planes: dict[int, list[Floats]] = {tooth.code: [] for tooth in teeth}
    ordered = sorted(teeth, key=lambda tooth: float(row.place(tooth.placed(np.zeros(3)))[0]))
    for ahead, behind in pairwise(ordered):
        middles, directions = [], []
        for share in (0.15, 0.6):
            ends = [_facing(tooth, row, share, side) for tooth, side in ((ahead, 1), (behind, -1))]
            middles.append(0.5 * (ends[0] + ends[1]))
            directions.append(ends[1] - ends[0])
        station, _ = row.place(middles[0])
        out = row.out_mouth[int(np.rint(station))]
        normal = np.cross(middles[1] - middles[0], np.array([*out, 0.0]))
        normal /= np.linalg.norm(normal)
        along = behind.placed(np.zeros(3)) - ahead.placed(np.zeros(3))
        normal *= np.sign(normal @ along)
        reach = float(normal @ middles[0])
        planes[ahead.code].append(np.array([*normal, reach]))
        planes[behind.code].append(np.array([*-normal, -reach]))
    return {code: np.array(each).reshape(-1, 4) for code, each in planes.items()}


def _facing(tooth: ToothRings, row: Ridge, share: float, side: int) -> Floats:
    """The point of a root that reaches furthest along the ridge at a share of its length."""
    points = root_extent(tooth, 0.0)
    height = tooth.unplaced(points)[:, 2] / -tooth.tooth.root_length_mm
    level = points[np.abs(height - share) < 0.08]
    station, _ = row.place(level)
    return np.asarray(level[(side * station).argmax()])


__all__ = ["BoneShells", "bone_shells"]

"""Teeth given as meshes, brought into the mouth frame.

Nothing here has the shape of the parametric mouth, so that can be set against it.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import connected_components
from scipy.spatial import cKDTree

from bitewright.errors import BitewrightError
from bitewright.mouth.crown_lines import CrownLines
from bitewright.mouth.mouth import neighbour_pairs
from bitewright.mouth.open_direction import OpenDirection, open_direction, overlaps_mm
from bitewright.mouth.tooth_forms import is_right, is_upper
from bitewright.space import ClosedMesh, Pose
from trials.closest_approach import Approach, closest_approach

Floats = NDArray[np.float64]

CROWN_MM = 6.0
"""Crowns are taken as the occlusal 6 mm: scans have no true neck, atlas meshes no junction."""

TIP_MM = 1.0
"""A cusp's tip is the lowest point as far around. Our choice."""

AZIMUTHS_DEG = np.arange(-25.0, 85.01, 0.25)
"""Where tubes may stand beside a row of teeth. Our choice."""

LEFT_UP_FORWARD = np.array([[1.0, 0.0, 0.0], [0.0, 0.0, -1.0], [0.0, 1.0, 0.0]])
"""Mouth axes (rows) in a frame whose x runs to the subject's left, y up, z forward."""


class ScanIncompleteError(BitewrightError):
    """Teeth that place the scan in the mouth frame are missing."""

    def __init__(self, missing: tuple[int, ...]) -> None:
        self.missing = missing
        super().__init__(
            f"The scanned teeth lack {', '.join(map(str, missing))}: upper central incisors and "
            "first molars (11, 21, 16, 26) are needed to place them; add those meshes."
        )


@dataclass(frozen=True, slots=False, kw_only=True, eq=False)
class ScannedTeeth:
    """Closed tooth meshes in the mouth frame by ISO 3950 code. [mm]

    Pairs of neighbours are named with the tooth nearer the midline first.
    """

    meshes: Mapping[int, ClosedMesh]

    @cached_property
    def crowns(self) -> dict[int, CrownLines]:
        """The occlusal 6 mm of every tooth."""
        return {code: _crown(mesh, code) for code, mesh in self.meshes.items()}

    @cached_property
    def approaches(self) -> dict[tuple[int, int], Approach]:
        """Where the surfaces of each two neighbours come nearest to one another."""
        return {
            pair: closest_approach(*(self.meshes[code] for code in pair), right=is_right(pair[0]))
            for pair in neighbour_pairs(self.meshes)
        }

    @property
    def posterior_pairs(self) -> tuple[tuple[int, int], ...]:
        """Neighbours of one quadrant from the canine to the second molar."""
        return tuple(
            (front, back)
            for front, back in neighbour_pairs(self.meshes)
            if front // 10 == back // 10 and front % 10 >= 3 and back % 10 <= 7
        )

    def crown_points(self, code: int) -> Floats:
        """Points of a crown's outline in level sections 0.1 mm apart, (n, 3). [mm]"""
        if code not in self._points:
            self._points[code] = self.crowns[code].level_points_mouth()
        return self._points[code]

    def open_direction(self, pair: tuple[int, int]) -> OpenDirection:
        """Where the tube must stand for a pair's silhouettes to overlap least; found once."""
        if pair not in self._directions:
            front, back = (self.crowns[code] for code in pair)
            self._directions[pair] = open_direction(front, back, right=is_right(pair[0]))
        return self._directions[pair]

    @cached_property
    def _points(self) -> dict[int, Floats]:
        return {}

    @cached_property
    def _directions(self) -> dict[tuple[int, int], OpenDirection]:
        return {}

    def above_least_mm(
        self, pairs: Sequence[tuple[int, int]], azimuths_deg: Floats = AZIMUTHS_DEG
    ) -> Floats:
        """How much more than at its best each pair overlaps, level beams, (pairs, A). [mm]"""
        overlap = [
            overlaps_mm(
                *(self.crown_points(code) for code in pair),
                right=is_right(pair[0]),
                azimuths_deg=azimuths_deg,
            )
            for pair in pairs
        ]
        return np.array([row - row.min() for row in overlap])


def scanned_teeth(
    meshes: Mapping[int, ClosedMesh], *, mouth_axes: ArrayLike = LEFT_UP_FORWARD
) -> ScannedTeeth:
    """Place meshes of one common frame into the mouth frame by a rigid movement.

    The origin is midway between the lowest points of the upper central incisors; z = 0 passes
    through it and the lowest cusp tips of the mesiobuccal quarters of the upper first molars. The
    midline runs as the meshes' own frame has it.

    Parameters
    ----------
    meshes : mapping of ISO 3950 code to ClosedMesh
    mouth_axes : (3, 3) float
        Rows: about which way the mouth's left, back and up run in the meshes' frame; right-handed.

    Raises
    ------
    ScanIncompleteError
        If 11, 21, 16 or 26 is missing.
    NotARotationError
        If the axes given mirror the mouth.
    """
    missing = tuple(code for code in (11, 21, 16, 26) if code not in meshes)
    if missing:
        raise ScanIncompleteError(missing)
    turn = Pose(np.asarray(mouth_axes, dtype=np.float64), np.zeros(3))
    turned = {code: mesh.moved(turn) for code, mesh in meshes.items()}
    pose = _mouth_from_turned(turned)
    return ScannedTeeth(meshes={code: mesh.moved(pose) for code, mesh in turned.items()})


def outermost(mesh: ClosedMesh) -> ClosedMesh:
    """The largest of a mesh's bodies: some hold others, dentine and pulp."""
    ends = mesh.triangles[:, :2], mesh.triangles[:, 1:]
    edges = np.concatenate(ends)
    count = len(mesh.vertices_mm)
    joined = coo_matrix((np.ones(len(edges)), edges.T), shape=(count, count))
    _, body = connected_components(joined, directed=False)
    of = body[mesh.triangles[:, 0]]
    bodies = [ClosedMesh(mesh.vertices_mm, mesh.triangles[of == each]) for each in np.unique(of)]
    return max(bodies, key=lambda each: abs(each.volume_mm3))


def _mouth_from_turned(turned: Mapping[int, ClosedMesh]) -> Pose:
    middle = 0.5 * (_lowest(turned[11].vertices_mm) + _lowest(turned[21].vertices_mm))
    right, left = (_mesiobuccal_cusp(turned[code], code) for code in (16, 26))
    up = np.cross(left - right, 0.5 * (left + right) - middle)
    up /= np.linalg.norm(up)
    back = np.array([0.0, 1.0, 0.0]) - up[1] * up
    back /= np.linalg.norm(back)
    rotation = np.stack([np.cross(back, up), back, up])
    return Pose(rotation, -rotation @ middle)


def _crown(mesh: ClosedMesh, code: int) -> CrownLines:
    height = mesh.vertices_mm[:, 2]
    if is_upper(code):
        return CrownLines.of_mesh(mesh).between(height.min(), height.min() + CROWN_MM)
    return CrownLines.of_mesh(mesh).between(height.max() - CROWN_MM, height.max())


def _lowest(points: Floats) -> Floats:
    return np.asarray(points[points[:, 2].argmin()])


def _mesiobuccal_cusp(mesh: ClosedMesh, code: int) -> Floats:
    points = mesh.vertices_mm
    crown = points[points[:, 2] <= points[:, 2].min() + CROWN_MM]
    middle = crown.mean(axis=0)
    buccal = -1.0 if is_right(code) else 1.0
    quarter = (crown[:, 1] < middle[1]) & ((crown[:, 0] - middle[0]) * buccal > 0)
    # Another cusp's slope may lie lower at the quarter's border: only a tip has none lower beside.
    beside = cKDTree(crown[:, :2]).query_ball_point(crown[quarter, :2], TIP_MM)
    tips = [
        i
        for i, near in zip(np.flatnonzero(quarter), beside, strict=True)
        if crown[i, 2] <= crown[near, 2].min()
    ]
    return _lowest(crown[tips] if tips else crown[quarter])


__all__ = ["AZIMUTHS_DEG", "ScanIncompleteError", "ScannedTeeth", "outermost", "scanned_teeth"]

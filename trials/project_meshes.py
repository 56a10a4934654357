"""Project teeth given as meshes to landmarks: their own silhouettes in perspective, and cusps.

As `exposing.project` does for outlines: a contact's two marks are the outermost places of both
crowns in the row of the image where they overlap most; a free surface's is the outermost of all.
Meshes say nothing of junctions and bone crests, so there are none.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from bitewright.exposing.exposure import Exposures
from bitewright.exposing.landmarks import Landmarks
from bitewright.exposing.project import (
    ProjectionMatrices,
    front_directions,
    project,
    projection_matrices,
)
from bitewright.exposing.region import Region
from bitewright.exposing.targets import FIRST_PLACE, Targets
from bitewright.mouth.crown_lines import ROW_MM, CrownLines, crossings
from bitewright.mouth.open_direction import box_middle
from bitewright.mouth.tooth_forms import is_upper
from trials.mesh_cusps import cusp_tips
from trials.scanned_teeth import ScannedTeeth

Floats = NDArray[np.float64]
Pair = tuple[int, int]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class MeshTargets:
    """What is projected of one side's meshes.

    Parameters
    ----------
    crowns : mapping of ISO 3950 code to CrownLines
        From the canine back, in the mouth frame, jaws closed.
    pairs : tuple of (front, back)
        Neighbours, the tooth nearer the midline first.
    cusps_mouth : mapping of landmark name to (3,) float array [mm]
    """

    crowns: Mapping[int, CrownLines]
    pairs: tuple[Pair, ...]
    cusps_mouth: Mapping[str, Floats]


def mesh_targets(teeth: ScannedTeeth, region: Region) -> MeshTargets:
    """The crowns, contacts and cusps of a region's side, canine back."""
    side = [c for c in sorted(teeth.meshes) if c // 10 in region.quadrants]
    middles = {code: box_middle(teeth.crown_points(code)) for code in side}
    cusps: dict[str, Floats] = {}
    for code in side:
        if code % 10 >= FIRST_PLACE:
            cusps |= cusp_tips(
                teeth.meshes[code],
                code,
                mesial_mouth=towards_midline(middles, code),
                crown_mouth=teeth.crown_points(code),
            )
    behind = [code for code in side if code % 10 >= FIRST_PLACE]
    return MeshTargets(
        crowns={code: teeth.crowns[code] for code in behind},
        pairs=tuple((front, back) for front, back in pairwise(behind) if back == front + 1),
        cusps_mouth=cusps,
    )


def project_meshes(exposures: Exposures, of: MeshTargets) -> Landmarks:
    """Landmarks of one exposure, named and ordered as outlines' are, without junctions and crests.

    Parameters
    ----------
    exposures : Exposures
        One.
    """
    view = _Seen.of(exposures, 0)
    images = {code: view.lines(crown, code) for code, crown in of.crowns.items()}
    places: dict[str, Floats] = {}
    for front, back in of.pairs:
        met = _widest(_edge(images[front], -1.0), _edge(images[back], 1.0))
        if met is not None:
            places[f"{front}.distal"], places[f"{back}.mesial"] = met.ahead, met.behind
    for code, image in images.items():
        for name, outward in ((f"{code}.mesial", 1.0), (f"{code}.distal", -1.0)):
            if name not in places:
                places[name] = _outermost(image, outward)
    on_receptor = {name: view.on_receptor_mouth(place) for name, place in places.items()}
    return project(exposures, _points(on_receptor, of.cusps_mouth))[0]


def mesh_overlaps_mm(exposures: Exposures, of: MeshTargets, pairs: tuple[Pair, ...]) -> Floats:
    """Widest overlap of contacts (E, pairs), object millimetres at the contact as in `measure`.

    Negative is a space; NaN where no row has both crowns.
    """
    codes = {code for pair in pairs for code in pair}
    found = np.full((len(exposures), len(pairs)), np.nan)
    for e in range(len(exposures)):
        view = _Seen.of(exposures, e)
        images = {code: view.lines(of.crowns[code], code) for code in codes}
        for c, (front, back) in enumerate(pairs):
            met = _widest(_edge(images[front], -1.0), _edge(images[back], 1.0))
            if met is not None:
                lean = 0.5 * (met.ahead[0] + met.behind[0]) / view.depth_mm
                found[e, c] = met.overlap_mm / met.magnification / np.hypot(1.0, lean)
    return found


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Met:
    """A contact at its widest row: places along the front direction and across it. [mm]"""

    ahead: Floats
    behind: Floats
    magnification: float

    @property
    def overlap_mm(self) -> float:
        return float(self.behind[0] - self.ahead[0])


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Seen:
    """One exposure's way of seeing: image places are along and across, from the source's foot."""

    exposures: Exposures
    matrices: ProjectionMatrices
    row: int
    front: Floats

    @classmethod
    def of(cls, exposures: Exposures, row: int) -> "_Seen":
        matrices = projection_matrices(exposures)
        front = front_directions(exposures, matrices)[row]
        return cls(exposures=exposures, matrices=matrices, row=row, front=front)

    @property
    def depth_mm(self) -> float:
        """Source to the receptor's plane. [mm]"""
        return float(-self.matrices.source_receptor[self.row, 2])

    def points(self, points_mouth: Floats, code: int) -> Floats:
        """Along, magnification and across (n, 3) of points of one tooth. [mm, -, mm]"""
        both = self.matrices.upper if is_upper(code) else self.matrices.lower
        matrix = both[self.row]
        q = points_mouth @ matrix[:, :3].T + matrix[:, 3]
        ratio = self.depth_mm / q[:, 2]
        u, v = q[:, 0] * ratio, q[:, 1] * ratio
        along = self.front[0] * u + self.front[1] * v
        return np.stack([along, ratio, self.front[0] * v - self.front[1] * u], axis=1)

    def lines(self, crown: CrownLines, code: int) -> tuple[Floats, Floats]:
        """Both ends of a crown's lines as `points`."""
        return self.points(crown.starts_mouth, code), self.points(crown.ends_mouth, code)

    def on_receptor_mouth(self, place: Floats) -> Floats:
        """The point of the receptor's plane at a place along and across, (3,). [mm]"""
        source = self.matrices.source_receptor[self.row]
        u = source[0] + self.front[0] * place[0] - self.front[1] * place[1]
        v = source[1] + self.front[1] * place[0] + self.front[0] * place[1]
        seat = self.exposures.seat
        axes = seat.axes_mouth[self.row]
        return np.asarray(seat.centres_mouth[self.row] + u * axes[0] + v * axes[1])


def _edge(image: tuple[Floats, Floats], outward: float) -> tuple[NDArray[np.intp], Floats]:
    """Numbers of the rows a crown is seen in, and its outermost place in each, (r, 3)."""
    met = crossings(*image)
    rows = np.rint(met[:, 2] / ROW_MM).astype(np.intp)
    order = np.lexsort((met[:, 0] * outward, rows))
    last = np.flatnonzero(np.diff(rows[order], append=np.iinfo(np.intp).max))
    return rows[order][last], met[order][last]


def _widest(
    front: tuple[NDArray[np.intp], Floats], back: tuple[NDArray[np.intp], Floats]
) -> _Met | None:
    shared, ahead, behind = np.intersect1d(
        front[0], back[0], assume_unique=True, return_indices=True
    )
    if not len(shared):
        return None
    best = int((back[1][behind, 0] - front[1][ahead, 0]).argmax())
    one, other = front[1][ahead[best]], back[1][behind[best]]
    return _Met(
        ahead=one[[0, 2]], behind=other[[0, 2]], magnification=float(0.5 * (one[1] + other[1]))
    )


def _outermost(image: tuple[Floats, Floats], outward: float) -> Floats:
    ends = np.concatenate(image)
    return np.asarray(ends[(ends[:, 0] * outward).argmax(), [0, 2]])


def towards_midline(middles: Mapping[int, Floats], code: int) -> Floats:
    """Level unit direction from the neighbour behind to the one in front, or to itself."""
    front, back = (middles.get(code + step, middles[code]) for step in (-1, 1))
    way = (front - back) * [1.0, 1.0, 0.0]
    return np.asarray(way / np.linalg.norm(way))


def _points(on_receptor: Mapping[str, Floats], cusps: Mapping[str, Floats]) -> Targets:
    """Points already on the receptor stay where they are; the lower jaw's cusps open with it."""
    every = {**on_receptor, **cusps}
    return Targets(
        sites=(),
        flanks_mouth=np.zeros((0, 2, 2, 3)),
        outward=np.zeros(0),
        points_mouth=np.array(list(every.values())).reshape(-1, 3),
        flank_is_lower=np.zeros(0, dtype=bool),
        point_is_lower=np.array(
            [name in cusps and not is_upper(int(name[:2])) for name in every], dtype=bool
        ),
        names=tuple(every),
    )


__all__ = [
    "MeshTargets",
    "mesh_overlaps_mm",
    "mesh_targets",
    "project_meshes",
    "towards_midline",
]

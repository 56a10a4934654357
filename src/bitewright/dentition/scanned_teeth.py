"""Teeth given as meshes: brought into the mouth frame, and in which direction their contacts open.

Nothing here knows the parametric mouth, so it can be set against it.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bitewright.dentition.tooth_forms import is_right, is_upper
from bitewright.errors import BitewrightError
from bitewright.space import ClosedMesh, Pose

Floats = NDArray[np.float64]

CROWN_MM = 6.0
"""Crowns are taken as the occlusal 6 mm: scans have no true neck."""

ROW_MM = 0.25
OPEN_ABOVE_LEAST_MM = 0.10
AZIMUTHS_DEG = np.arange(-25.0, 85.01, 0.25)
MOUTH_FROM_SCAN = np.array([[1.0, 0.0, 0.0], [0.0, 0.0, -1.0], [0.0, 1.0, 0.0]])
"""From x left, y up, z forward to the mouth's axes: a rotation."""


class ScanIncompleteError(BitewrightError):
    """Teeth that place the scan in the mouth frame are missing."""

    def __init__(self, missing: tuple[int, ...]) -> None:
        self.missing = missing
        super().__init__(
            f"The scanned teeth lack {', '.join(map(str, missing))}: upper central incisors and "
            "first molars (11, 21, 16, 26) are needed to place them; add those meshes."
        )


@dataclass(frozen=True, slots=True, eq=False)
class ScannedTeeth:
    """Closed tooth meshes in the mouth frame by ISO 3950 code. [mm]"""

    meshes: Mapping[int, ClosedMesh]

    def crown_points(self, code: int) -> Floats:
        """Points spread over the occlusal part of a tooth, (n, 3). [mm]"""
        points = surface_points(self.meshes[code])
        height = points[:, 2] if is_upper(code) else -points[:, 2]
        return np.asarray(points[height <= height.min() + CROWN_MM])


def scanned_teeth(meshes: Mapping[int, ClosedMesh]) -> ScannedTeeth:
    """Place meshes of a common frame (x left, y up, z forward) into the mouth frame.

    The origin is midway between the lowest points of the upper central incisors; z = 0 passes
    through it and the lowest points of the mesiobuccal quarters of the upper first molars.

    Raises
    ------
    ScanIncompleteError
    """
    missing = tuple(code for code in (11, 21, 16, 26) if code not in meshes)
    if missing:
        raise ScanIncompleteError(missing)
    turned = {code: mesh.moved(Pose(MOUTH_FROM_SCAN, np.zeros(3))) for code, mesh in meshes.items()}
    middle = 0.5 * (_lowest(turned[11].vertices_mm) + _lowest(turned[21].vertices_mm))
    right, left = (_mesiobuccal_cusp(turned[code], code) for code in (16, 26))
    up = np.cross(left - right, 0.5 * (left + right) - middle)
    up /= np.linalg.norm(up)
    back = np.array([0.0, 1.0, 0.0]) - up[1] * up
    back /= np.linalg.norm(back)
    rotation = np.stack([np.cross(back, up), back, up])
    pose = Pose(rotation, -rotation @ middle)
    return ScannedTeeth({code: mesh.moved(pose) for code, mesh in turned.items()})


def surface_points(mesh: ClosedMesh) -> Floats:
    """Vertices and points within every triangle, close enough to stand for the surface. [mm]"""
    a, b, c = (mesh.vertices_mm[mesh.triangles[:, k]] for k in range(3))
    steps = np.linspace(0.0, 1.0, 6)
    weights = [(s, t, 1.0 - s - t) for s in steps for t in steps if s + t <= 1.0 + 1e-9]
    return np.vstack([s * a + t * b + r * c for s, t, r in weights])


def overlaps_mm(front: Floats, back: Floats, *, right: bool, azimuths_deg: Floats) -> Floats:
    """Widest overlap of two neighbouring crowns for level parallel beams.

    Parameters
    ----------
    front, back : (n, 3) float arrays
        Points of the crown nearer the midline and of the one behind it, mouth frame. [mm]
    right : bool
        Whether they stand on the patient's right.
    azimuths_deg : (A,) float array
        Direction of the tube: 0 straight from the side, positive towards the front. [deg]

    Returns
    -------
    (A,) float array
        At the height where it is widest; negative is a space. [mm]
    """
    angle = np.deg2rad(azimuths_deg)
    across = np.stack([np.sin(angle) * (1.0 if right else -1.0), -np.cos(angle)])
    ahead, behind = (
        _extremes(points, points[:, :2] @ across, nearest)
        for points, nearest in ((front, np.minimum), (back, np.maximum))
    )
    shared = sorted(set(ahead) & set(behind))
    return np.asarray(np.max([behind[row] - ahead[row] for row in shared], axis=0))


def open_azimuth_deg(front: Floats, back: Floats, *, right: bool) -> float:
    """Middle of the directions in which a contact overlaps at most 0.10 mm more than at its best.

    Relative to its own least overlap, since scanned neighbours stand slightly apart and those of
    an atlas slightly within one another. [deg]
    """
    overlap = overlaps_mm(front, back, right=right, azimuths_deg=AZIMUTHS_DEG)
    good = AZIMUTHS_DEG[overlap <= overlap.min() + OPEN_ABOVE_LEAST_MM]
    return float(0.5 * (good[0] + good[-1]))


def posterior_pairs(codes: Mapping[int, object]) -> list[tuple[int, int]]:
    """Neighbours from the canine to the second molar, the one nearer the midline first."""
    return [
        (10 * q + p, 10 * q + p + 1)
        for q in (1, 2, 3, 4)
        for p in (3, 4, 5, 6)
        if 10 * q + p in codes and 10 * q + p + 1 in codes
    ]


def open_azimuths_deg(teeth: ScannedTeeth) -> dict[tuple[int, int], float]:
    """Open direction of every contact from the canine to the second molar. [deg]"""
    return {
        pair: open_azimuth_deg(
            teeth.crown_points(pair[0]), teeth.crown_points(pair[1]), right=is_right(pair[0])
        )
        for pair in posterior_pairs(teeth.meshes)
    }


def _extremes(points: Floats, along: Floats, extreme: np.ufunc) -> dict[int, Floats]:
    """Outermost place of the points of each row, by row number, each (A,)."""
    row = np.floor(points[:, 2] / ROW_MM).astype(int)
    order = np.argsort(row, kind="stable")
    numbers, starts = np.unique(row[order], return_index=True)
    reduced = extreme.reduceat(along[order], starts, axis=0)
    return dict(zip(numbers.tolist(), reduced, strict=True))


def _lowest(points: Floats) -> Floats:
    return np.asarray(points[points[:, 2].argmin()])


def _mesiobuccal_cusp(mesh: ClosedMesh, code: int) -> Floats:
    points = mesh.vertices_mm
    crown = points[points[:, 2] <= points[:, 2].min() + CROWN_MM]
    middle = crown.mean(axis=0)
    buccal = -1.0 if is_right(code) else 1.0
    quarter = (crown[:, 1] < middle[1]) & ((crown[:, 0] - middle[0]) * buccal > 0)
    return _lowest(crown[quarter])


__all__ = [
    "ScanIncompleteError",
    "ScannedTeeth",
    "open_azimuth_deg",
    "open_azimuths_deg",
    "overlaps_mm",
    "posterior_pairs",
    "scanned_teeth",
    "surface_points",
]

"""Where two closed crowns come nearest to one another, or reach furthest into one another."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from bitewright.mouth.open_direction import azimuth_along_deg
from bitewright.space import ClosedMesh

Floats = NDArray[np.float64]

PATCH_MM = 0.15
"""What lies at most this much further apart belongs to the contact. Our choice."""

SPACING_MM = 0.25
"""Samples of a surface lie about this close. Our choice."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Approach:
    """The contact of two neighbouring crowns by their surfaces alone.

    Parameters
    ----------
    point_mouth, normal_mouth : (3,) float arrays
        Middle of the patch within 0.15 mm of the nearest approach [mm]; unit direction across it,
        from the crown behind to the one in front.
    apart_mm : float
        Least distance of the surfaces; negative where they reach into one another. [mm]
    open_azimuth_deg : float
        Azimuth of the tube looking along the patch: 0 from the side, positive to the front. [deg]
    """

    point_mouth: Floats
    normal_mouth: Floats
    apart_mm: float
    open_azimuth_deg: float


def closest_approach(front: ClosedMesh, back: ClosedMesh, *, right: bool) -> Approach:
    """Compare samples of both surfaces; a sample within the other body counts negative.

    Model: every sample of the front crown and its nearest on the back one, where the two surfaces
    face each other. Good to 0.02 mm on spheres of 4 mm.

    Parameters
    ----------
    front, back : ClosedMesh
        The crown nearer the midline and the one behind it, mouth frame. [mm]
    right : bool
        Whether they stand on the patient's right.
    """
    ahead, ahead_normals, areas = surface_samples(_side_towards(front, back))
    behind, behind_normals, _ = surface_samples(_side_towards(back, front))
    distance, nearest = cKDTree(behind).query(ahead)
    apart, facing = ahead - behind[nearest], behind_normals[nearest]
    gaps = _gaps(distance, np.einsum("ij,ij->i", apart, facing))
    gaps[np.einsum("ij,ij->i", ahead_normals, facing) >= 0.0] = np.inf
    patch = np.flatnonzero(gaps <= gaps.min() + PATCH_MM)
    share = areas[patch] / areas[patch].sum()
    normal = share @ (facing[patch] - ahead_normals[patch])
    normal /= np.linalg.norm(normal)
    return Approach(
        point_mouth=share @ (ahead[patch] - 0.5 * apart[patch]),
        normal_mouth=normal,
        apart_mm=float(gaps.min()),
        open_azimuth_deg=azimuth_along_deg(normal, right=right),
    )


def _gaps(distance: Floats, along_normal: Floats) -> Floats:
    """Signed distances, without what samples merely lie aside of one another. [mm]"""
    aside = np.minimum(distance**2 - along_normal**2, SPACING_MM**2)
    return np.copysign(np.sqrt(np.maximum(distance**2 - aside, 0.0)), along_normal)


def surface_samples(mesh: ClosedMesh) -> tuple[Floats, Floats, Floats]:
    """Points (n, 3) spread over a surface, outward normals (n, 3), areas they stand for (n,).

    Every triangle is parted into as many equal ones as its longest side needs. [mm, mm2]
    """
    corners = mesh.vertices_mm[mesh.triangles]
    parts = np.maximum(np.ceil(_longest_sides(corners) / SPACING_MM).astype(int), 1)
    cross = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    twice = np.linalg.norm(cross, axis=1)
    found = []
    for count in np.unique(parts):
        own = (parts == count) & (twice > 0.0)
        shares = _middles_of_parts(int(count))
        points = np.einsum("sk,tkc->tsc", shares, corners[own])
        normals = np.broadcast_to((cross[own] / twice[own, None])[:, None], points.shape)
        area = np.repeat(0.5 * twice[own] / len(shares), len(shares))
        found.append((points.reshape(-1, 3), normals.reshape(-1, 3), area))
    points, normals, area = (np.concatenate(kind) for kind in zip(*found, strict=True))
    return points, normals, area


def _side_towards(mesh: ClosedMesh, other: ClosedMesh) -> ClosedMesh:
    """The triangles that may come nearest to another body, by distances between corners.

    Our choice: each may lie nearer than its corners by its own longest side and another 1 mm.
    """
    apart = cKDTree(other.vertices_mm).query(mesh.vertices_mm)[0]
    longest = _longest_sides(mesh.vertices_mm[mesh.triangles])
    near = apart[mesh.triangles].min(axis=1) <= apart.min() + longest + 1.0
    return ClosedMesh(mesh.vertices_mm, mesh.triangles[near])


def _longest_sides(corners: Floats) -> Floats:
    return np.asarray(np.linalg.norm(corners - np.roll(corners, 1, axis=1), axis=2).max(axis=1))


def _middles_of_parts(count: int) -> Floats:
    """Barycentric middles (count squared, 3) of the equal parts of a triangle."""
    upright = [(i + 1 / 3, j + 1 / 3) for i in range(count) for j in range(count - i)]
    turned = [(i + 2 / 3, j + 2 / 3) for i in range(count - 1) for j in range(count - 1 - i)]
    first, second = np.array(upright + turned).T / count
    return np.stack([first, second, 1.0 - first - second], axis=1)


__all__ = ["Approach", "closest_approach", "surface_samples"]

"""What lies inside a tooth: dentine within its enamel, and the pulp, as fields on its grid. [mm]

Enamel begins as a knife's edge at the cemento-enamel junction, thickens up the crown to the
mouth's own figure at the contacts, and is thickest over the cusps. Figures are our choice.
"""

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from bitewright.dentition.blends import rise, soft_min
from bitewright.dentition.fixed_noise import slow_noise
from bitewright.dentition.mouth import USUAL_AGE
from bitewright.dentition.placed_tooth import PlacedTooth
from bitewright.dentition.tooth_solid import ROOTS, ToothGrid
from bitewright.space import ClosedMesh

Floats = NDArray[np.float64]

CUSP_ENAMEL_MM = (0.3, 0.3, 0.5, 0.45, 0.5, 0.6, 0.65, 0.65)
"""Added over the cusps, by place."""

WAVES = 0.08
"""How much enamel's thickness swells and sinks from place to place, at most, as a share."""

FOSSA_MM = 0.30
DEEPEST_ENAMEL_MM = 3.0
FADE_MM = 0.4

WALL_MM = 0.6
"""Dentine between pulp and enamel or the root's side, at least."""

AGE_CLOSES_PER_YEAR = 0.008
"""A pulp narrows by so much a year from this age on; from memory, our choice."""


def dentine_field(
    placed: PlacedTooth, grid: ToothGrid, outer: Floats, outer_mesh: ClosedMesh
) -> Floats:
    """Dentine: exactly the outer field below the junction, under the enamel above it.

    ``outer_mesh`` is the outer surface in the tooth's own axes.
    """
    above = grid.height - placed.junction(grid.mesial)
    band = (above > 0.0) & (outer < 0.4) & (outer > -DEEPEST_ENAMEL_MM - 1.0)
    points = grid.points()[band]
    depth = _depth_mm(points, outer_mesh)
    own = np.broadcast_to(above, outer.shape)[band]
    under = depth + _enamel_mm(placed, points, own)
    weight = rise(own / FADE_MM)
    field = outer.copy()
    field[band] = np.maximum((1.0 - weight) * outer[band] + weight * under, outer[band])
    return field


def _depth_mm(points: Floats, mesh: ClosedMesh) -> Floats:
    """Distance to the surface, negative inside: to the plane through the nearest corner."""
    normals = np.zeros_like(mesh.vertices_mm)
    corners = mesh.vertices_mm[mesh.triangles]
    flat = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    for k in range(3):
        for c in range(3):
            normals[:, c] += np.bincount(mesh.triangles[:, k], flat[:, c], len(normals))
    normals /= np.maximum(np.linalg.norm(normals, axis=1), 1e-12)[:, None]
    straight, nearest = cKDTree(mesh.vertices_mm).query(points)
    level = np.einsum("nc,nc->n", points - mesh.vertices_mm[nearest], normals[nearest])
    far = straight > 0.6
    return np.asarray(np.where(far, -np.abs(straight), np.maximum(level, -straight)))


def _enamel_mm(placed: PlacedTooth, points: Floats, above: Floats) -> Floats:
    crown = placed.tooth.crown_length_mm
    wave = np.tanh(slow_noise(points + 7.0 * placed.kind, 3.5))
    up = np.clip(above / (0.45 * crown), 0.0, 1.0)
    thick = placed.tooth.enamel_contact_mm * np.sin(0.5 * np.pi * up) ** 0.95
    thick *= 1.0 + WAVES * wave - 0.04 * np.sign(points[:, 1])
    cusp = CUSP_ENAMEL_MM[placed.place - 1] * rise((points[:, 2] - 0.58 * crown) / (0.4 * crown))
    middle = np.hypot(
        points[:, 0] / (0.30 * placed.tooth.md_crown_mm),
        points[:, 1] / (0.28 * placed.tooth.bl_crown_mm),
    )
    fossa = FOSSA_MM * rise(1.0 - middle) if placed.place >= 4 else 0.0
    return np.asarray(thick + cusp - fossa)


def pulp_field(placed: PlacedTooth, grid: ToothGrid, dentine: Floats) -> Floats:
    """The pulp: chamber, horns and canals, narrower with age, never near the dentine's surface."""
    closed = 1.0 - AGE_CLOSES_PER_YEAR * (placed.outlines.mouth.age_years - USUAL_AGE)
    own = (
        _molar_pulp(placed, grid, closed) if placed.is_molar else _single_pulp(placed, grid, closed)
    )
    own = own + 0.12 * slow_noise(grid.points() + 3.0 * placed.kind, 2.2)
    return np.asarray(np.maximum(own, dentine + WALL_MM))


def _single_pulp(placed: PlacedTooth, grid: ToothGrid, closed: float) -> Floats:
    """One ribbon from below the crown's middle to near the apex, with a horn towards each cusp."""
    tooth = placed.tooth
    depth = np.clip(-grid.height / tooth.root_length_mm, 0.0, 1.0)
    shift = np.mean(placed.apices(), axis=0)
    x = grid.mesial - depth**2 * shift[0] + 0.45 * np.sin(np.pi * depth) * depth
    y = grid.buccal - depth**2 * shift[1]
    narrowing = (1.0 - 0.78 * depth) * closed
    a = 0.068 * tooth.md_cervix_mm * narrowing + 0.05
    b = (0.15 if placed.place >= 3 else 0.11) * tooth.bl_cervix_mm * narrowing + 0.05
    top = 0.26 * tooth.crown_length_mm
    dome = np.sqrt(np.clip(1.0 - np.clip((grid.height + 1.0) / (top + 1.0), 0.0, 1.0) ** 2, 0, 1))
    a, b = a * (0.25 + 0.75 * dome), b * (0.35 + 0.65 * dome)
    ribbon = (np.hypot(x / a, y / b) - 1.0) * np.minimum(a, b)
    ribbon = np.maximum(ribbon, 0.7 * (grid.height - top))
    ribbon = np.maximum(ribbon, -(grid.height + 0.93 * tooth.root_length_mm))
    for tip in _tips(placed):
        end = np.array([0.55 * tip[0], 0.55 * tip[1], 0.46 * tooth.crown_length_mm * closed])
        horn = _capsule(grid, np.array([0.0, 0.35 * tip[1], -0.5]), end, (0.45 * closed, 0.08))
        ribbon = soft_min(ribbon, horn, 0.5)
    return np.asarray(ribbon)


def _molar_pulp(placed: PlacedTooth, grid: ToothGrid, closed: float) -> Floats:
    """A flat chamber with a horn under each cusp and a canal down each root."""
    tooth = placed.tooth
    half = np.array([0.17 * tooth.md_cervix_mm, 0.14 * tooth.bl_cervix_mm, 1.0]) * closed
    x = (grid.mesial - placed.shear * grid.buccal) / half[0]
    y, z = grid.buccal / half[1], (grid.height + 1.2) / half[2]
    field = (np.sqrt(x * x + y * y + z * z) - 1.0) * float(half.min())
    field = np.broadcast_to(field, np.broadcast_shapes(x.shape, y.shape, z.shape)).copy()
    for tip in _tips(placed):
        end = np.array([0.76 * tip[0], 0.66 * tip[1], 2.1 * closed])
        start = np.array([0.35 * tip[0], 0.35 * tip[1], -1.1])
        field = soft_min(field, _capsule(grid, start, end, (0.62 * closed, 0.06)), 0.6)
    neck = np.array([tooth.md_cervix_mm, tooth.bl_cervix_mm])
    for (_, (start_share, half_share)), apex in zip(
        ROOTS[placed.is_upper].items(), placed.apices(), strict=True
    ):
        spread = [1.0 if placed.place == 6 else 0.8, 1.0]
        start = np.array(start_share) * neck * spread
        pairs = (-0.42, 0.42) if half_share[1] > 0.35 else (0.0,)
        for pair in pairs:
            aside = pair * half_share[1] * neck[1]
            top = np.array([0.62 * start[0], 0.62 * start[1] + 0.7 * aside, -1.6])
            low = np.array(
                [
                    start[0] + 0.62 * (apex[0] - start[0]),
                    start[1] + 0.62 * (apex[1] - start[1]) + 0.6 * aside,
                    -0.62 * tooth.root_length_mm,
                ]
            )
            canal = _capsule(grid, top, low, (0.30 * closed, 0.15))
            end = np.array([apex[0], apex[1] + 0.2 * aside, -0.92 * tooth.root_length_mm])
            canal = soft_min(canal, _capsule(grid, low, end, (0.15, 0.07)), 0.2)
            field = soft_min(field, canal, 0.4)
    return np.asarray(field)


def _tips(placed: PlacedTooth) -> Floats:
    tips = placed.outlines.cusps.tips_tooth[placed.row]
    return np.asarray(tips[tips[:, 2] > 0])


def _capsule(grid: ToothGrid, start: Floats, end: Floats, radii_mm: tuple[float, float]) -> Floats:
    """A rod from one place to another whose radius runs from one size to the other."""
    way = end - start
    length2 = float(way @ way)
    x, y, z = grid.mesial - start[0], grid.buccal - start[1], grid.height - start[2]
    share = np.clip((x * way[0] + y * way[1] + z * way[2]) / length2, 0.0, 1.0)
    away = np.sqrt(
        (x - share * way[0]) ** 2 + (y - share * way[1]) ** 2 + (z - share * way[2]) ** 2
    )
    return np.asarray(away - (radii_mm[0] + share * (radii_mm[1] - radii_mm[0])))


__all__ = ["dentine_field", "pulp_field"]

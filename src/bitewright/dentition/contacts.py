"""Where neighbouring crowns meet: slide the teeth along the arch until they touch, cut the facets.

Two crowns meet along the bisector of their mesiodistal axes. The gap is the least distance along
that direction over a patch of height and breadth, so that teeth whose bulges lie at different
heights still touch. A plane midway then cuts both crowns flat: the contact facet. Its plane is
vertical, and its horizontal direction is the direction in which the contact is open.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bitewright.compiled import compiled
from bitewright.dentition.arch_curve import ArchCurve
from bitewright.dentition.crown_sections import HEIGHT_STEP_MM, CrownSections, facet_depth_mm

Floats = NDArray[np.float64]

PIVOT_SHARE = 0.62
LOWEST_CONTACT, HIGHEST_CONTACT = 0.35, 0.88
PATCH_STEP_MM = 0.8
PATCH_ROUNDS = (2, 3, 5)
"""Halvings of the search step in each of the slides: rough first, fine at the end."""


@dataclass(frozen=True, slots=True, eq=False)
class ToothStance:
    """How T teeth stand before their place along the arch is known.

    Angles are those of `mouth.Tooth`. [deg] ``is_right`` and ``occlusal_sign`` (-1 upper, +1 lower)
    orient the local axes; ``spee_mm`` is the greatest depth of the curve of Spee.
    """

    tip_deg: Floats
    torque_deg: Floats
    rotation_deg: Floats
    is_right: NDArray[np.bool_]
    occlusal_sign: float
    spee_mm: float


@dataclass(frozen=True, slots=True, eq=False)
class PlacedArch:
    """Teeth of one arch from right to left, in contact.

    Parameters
    ----------
    origins_arch : (T, 3) float array
        Each tooth's local origin. [mm]
    axes_arch : (T, 3, 3) float array
        Rows: mesial, buccal, occlusal.
    points_arch : (T - 1, 3) float array
        Middle of each contact between neighbours. [mm]
    normals_arch : (T - 1, 3) float array
        Horizontal unit direction across each contact, towards the patient's left.
    gaps_mm : (T - 1,) float array
        Gap left at each contact. [mm]
    """

    origins_arch: Floats
    axes_arch: Floats
    points_arch: Floats
    normals_arch: Floats
    gaps_mm: Floats


def place_arch(
    curve: ArchCurve,
    sections: CrownSections,
    stance: ToothStance,
    *,
    facets_mm: Floats,
    gaps_mm: Floats,
) -> PlacedArch:
    """Slide teeth along a curve until every neighbouring pair has its gap.

    Parameters
    ----------
    facets_mm, gaps_mm : (T - 1,) float array
        Facet width and wanted gap of each pair, right to left. [mm]
    """
    cut = _facet_cut(sections, stance, facets_mm)
    wanted = gaps_mm - cut
    along = _first_guess(sections, stance)
    gaps = wanted
    middle = int(stance.is_right.sum())
    for slide, rounds in enumerate(PATCH_ROUNDS):
        if slide:
            along = _closed_up(along, wanted - gaps, middle)
        origins, axes = stand(curve, sections, stance, along)
        points, normals, gaps, mid = _contact_gaps(origins, axes, stance.is_right, sections, rounds)
    points = points + mid[:, None] * normals
    return PlacedArch(origins, axes, points, normals, gaps + cut)


def level_contacts_mm(curve: ArchCurve, sections: CrownSections, stance: ToothStance) -> Floats:
    """Heights (T, 2) at which crowns must bulge so that neighbours meet level. [mm]

    Each pair meets midway between the two teeth's own heights of contact.
    """
    origins, axes = stand(curve, sections, stance, _first_guess(sections, stance))
    faces = [np.where(stance.is_right, 0, 1), np.where(stance.is_right, 1, 0)]
    towards_left = _flank_middles(origins, axes, sections, faces[0])[:, 2]
    towards_right = _flank_middles(origins, axes, sections, faces[1])[:, 2]
    meeting = 0.5 * (towards_left[:-1] + towards_right[1:])
    moved = sections.contact_mm.copy()
    every, upright = np.arange(len(origins)), axes[:, 2, 2]
    moved[every[:-1], faces[0][:-1]] += (meeting - towards_left[:-1]) / upright[:-1]
    moved[every[1:], faces[1][1:]] += (meeting - towards_right[1:]) / upright[1:]
    crown = sections.crown_mm[:, None]
    return np.clip(moved, LOWEST_CONTACT * crown, HIGHEST_CONTACT * crown)


def stand(
    curve: ArchCurve, sections: CrownSections, stance: ToothStance, along_mm: Floats
) -> tuple[Floats, Floats]:
    """Origins (T, 3) and axes (T, 3, 3; rows mesial, buccal, occlusal) of teeth along a curve."""
    xy, tangent = curve.at(along_mm), curve.tangents(along_mm)
    count = len(along_mm)
    mesial = np.zeros((count, 3))
    mesial[:, :2] = tangent * np.where(stance.is_right, 1.0, -1.0)[:, None]
    buccal = np.zeros((count, 3))
    buccal[:, 0], buccal[:, 1] = tangent[:, 1], -tangent[:, 0]
    occlusal = np.zeros((count, 3))
    occlusal[:, 2] = stance.occlusal_sign
    mesial, buccal = _turned(mesial, buccal, stance.rotation_deg)
    occlusal, mesial = _turned(occlusal, mesial, stance.tip_deg)
    occlusal, buccal = _turned(occlusal, buccal, stance.torque_deg)
    axes = np.stack([mesial, buccal, occlusal], axis=1)
    pivot = np.column_stack([xy, _cusp_level(xy[:, 1], stance)])
    pivot[:, 2] -= stance.occlusal_sign * (1 - PIVOT_SHARE) * sections.crown_mm
    return pivot - PIVOT_SHARE * sections.crown_mm[:, None] * occlusal, axes


def _turned(a: Floats, b: Floats, angle_deg: Floats) -> tuple[Floats, Floats]:
    """Turn axis a towards axis b, and b away from a."""
    cos, sin = np.cos(np.deg2rad(angle_deg))[:, None], np.sin(np.deg2rad(angle_deg))[:, None]
    return a * cos + b * sin, b * cos - a * sin


def _cusp_level(back_mm: Floats, stance: ToothStance) -> Floats:
    """Height of the cusp line: a parabola of the curve of Spee from the front to the last tooth."""
    span = back_mm.max() - back_mm.min()
    share = (back_mm - back_mm.min()) / span
    return np.asarray(-4.0 * stance.spee_mm * share * (1.0 - share))


def _facet_cut(sections: CrownSections, stance: ToothStance, facets_mm: Floats) -> Floats:
    """How far both crowns of each pair reach into one another before the facet is cut. [mm]"""
    every = np.arange(len(sections.codes))
    total = np.zeros(len(every) - 1)
    for offset, faces_left in ((0, True), (1, False)):
        tooth = every[offset : len(every) - 1 + offset]
        side = np.where(stance.is_right[tooth] == faces_left, 0, 1)
        row = sections.at(tooth, sections.contact_mm[tooth, side])
        total += facet_depth_mm(row[:, 1], row[:, 3], row[:, 4], facets_mm)
    return total


def _first_guess(sections: CrownSections, stance: ToothStance) -> Floats:
    half = np.stack(
        [
            sections.at(np.arange(len(sections.codes)), sections.contact_mm[:, s])[:, 1]
            for s in (0, 1)
        ]
    ).mean(axis=0)
    ends = np.cumsum(2 * half)
    middle = int(stance.is_right.sum())
    start = ends[middle - 1] if middle else 0.0
    return np.asarray(ends - half - start)


def _closed_up(along: Floats, wanted_move: Floats, middle: int) -> Floats:
    """Move teeth outward from the midline by the summed corrections; the midline contact stays."""
    pair = middle - 1
    if not 0 <= pair < len(wanted_move):
        return np.asarray(along + np.concatenate([[0.0], np.cumsum(wanted_move)]))
    moved = along.copy()
    half = 0.5 * wanted_move[pair]
    moved[middle:] += half + np.concatenate([[0.0], np.cumsum(wanted_move[pair + 1 :])])
    rightward = np.concatenate([[0.0], np.cumsum(wanted_move[:pair][::-1])])[::-1]
    moved[:middle] -= half + rightward
    return moved


def _contact_gaps(
    origins: Floats,
    axes: Floats,
    is_right: NDArray[np.bool_],
    sections: CrownSections,
    rounds: int,
) -> tuple[Floats, Floats, Floats, Floats]:
    """Patch middles, normals, least gaps and the midway offset along each normal."""
    sign = np.where(is_right, 1.0, -1.0)
    # A sheared crown's flanks face across its shear, not along its own axis.
    width = (axes[:, 0] - sections.shear[:, None] * axes[:, 1]) * sign[:, None]
    normals = width[:-1] + width[1:]
    normals[:, 2] = 0.0
    normals /= np.linalg.norm(normals, axis=1)[:, None]
    right_face = _flank_middles(origins, axes, sections, np.where(is_right, 0, 1))[:-1]
    left_face = _flank_middles(origins, axes, sections, np.where(is_right, 1, 0))[1:]
    points = 0.5 * (right_face + left_face)
    gaps, mid = _least_gaps(
        points, normals, origins, axes, sections.lowest_mm, sections.table, sections.shear, rounds
    )
    return points, normals, gaps, mid


def _flank_middles(
    origins: Floats, axes: Floats, sections: CrownSections, side: NDArray[np.int_]
) -> Floats:
    every = np.arange(len(origins))
    height = sections.contact_mm[every, side]
    row = sections.at(every, height)
    local = np.column_stack(
        [row[:, 0] + np.where(side == 0, 1.0, -1.0) * row[:, 1], row[:, 2], height]
    )
    return np.asarray(origins + np.einsum("tk,tkc->tc", local, axes))


@compiled
def _least_gaps(
    points: Floats,
    normals: Floats,
    origins: Floats,
    axes: Floats,
    lowest: Floats,
    table: Floats,
    shear: Floats,
    rounds: int,
) -> tuple[Floats, Floats]:
    """Search breadth and height around each point: nine places, then halved steps."""
    count = len(points)
    gaps = np.full(count, 1e9)
    mid = np.zeros(count)
    for c in range(count):
        n = normals[c]
        best_b = 0.0
        best_z = 0.0
        spacing = PATCH_STEP_MM
        for _ in range(rounds):
            at_b, at_z = best_b, best_z
            for i in range(-1, 2):
                for j in range(-1, 2):
                    b = at_b + i * spacing
                    z = at_z + j * spacing
                    gx = points[c, 0] - b * n[1]
                    gy = points[c, 1] + b * n[0]
                    gz = points[c, 2] + z
                    ahead = _reach(c, 1.0, n, gx, gy, gz, origins, axes, lowest, table, shear)
                    back = _reach(c + 1, -1.0, n, gx, gy, gz, origins, axes, lowest, table, shear)
                    if -(ahead + back) < gaps[c]:
                        gaps[c] = -(ahead + back)
                        mid[c] = 0.5 * (ahead - back)
                        best_b, best_z = b, z
            spacing *= 0.5
    return gaps, mid


@compiled
def _reach(
    tooth: int,
    way: float,
    n: Floats,
    gx: float,
    gy: float,
    gz: float,
    origins: Floats,
    axes: Floats,
    lowest: Floats,
    table: Floats,
    shear: Floats,
) -> float:
    """How far a tooth's surface lies beyond a point along way * n; -1e6 off the flank."""
    ax = axes[tooth]
    qx, qy, qz = gx - origins[tooth, 0], gy - origins[tooth, 1], gz - origins[tooth, 2]
    px = ax[0, 0] * qx + ax[0, 1] * qy + ax[0, 2] * qz
    py = ax[1, 0] * qx + ax[1, 1] * qy + ax[1, 2] * qz
    pz = ax[2, 0] * qx + ax[2, 1] * qy + ax[2, 2] * qz
    dx = way * (ax[0, 0] * n[0] + ax[0, 1] * n[1])
    dy = way * (ax[1, 0] * n[0] + ax[1, 1] * n[1])
    dz = way * (ax[2, 0] * n[0] + ax[2, 1] * n[1])
    side = 1.0 if dx > 0 else -1.0
    t = 0.0
    for _ in range(3):
        place = (pz + t * dz - lowest[tooth]) / HEIGHT_STEP_MM
        place = min(max(place, 0.0), table.shape[1] - 1.000001)
        k = int(place)
        f = place - k
        row, nxt = table[tooth, k], table[tooth, k + 1]
        centre = row[0] + f * (nxt[0] - row[0])
        half = row[1] + f * (nxt[1] - row[1])
        middle = row[2] + f * (nxt[2] - row[2])
        breadth = row[3] + f * (nxt[3] - row[3])
        power = row[4] + f * (nxt[4] - row[4])
        y = py + t * dy
        left = 1.0 - (abs(y - middle) / breadth) ** power
        if left <= 0.0:
            return -1e6
        surface = centre + side * half * left ** (1.0 / power) + shear[tooth] * y
        t += (surface - (px + t * dx)) / dx
    return float(t)


__all__ = ["PlacedArch", "ToothStance", "level_contacts_mm", "place_arch", "stand"]

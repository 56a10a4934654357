"""Where neighbouring crowns meet: slide the teeth along the arch until they touch, cut the facets.

Two crowns meet along the bisector of their flanks. The gap is the least distance along
that direction over a patch of height and breadth, so that teeth whose bulges lie at different
heights still touch. A plane midway then cuts both crowns flat: the contact facet. Its plane is
vertical, and its horizontal direction is the direction in which the contact is open. Where a crown
has a shape of its own, the plane lies midway between the surfaces where they come nearest, which
also follows teeth that stand out of line.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bitewright.compiled import compiled
from bitewright.mouth.arch_curve import ArchCurve
from bitewright.mouth.crown_sections import CrownSections, facet_depth_mm
from bitewright.mouth.flank_bisectors import flank_bisectors
from bitewright.mouth.surface_gaps import least_gaps
from bitewright.space import Pose

Floats = NDArray[np.float64]

PIVOT_SHARE = 0.62
LOWEST_CONTACT, HIGHEST_CONTACT = 0.35, 0.88
PATCH_ROUNDS = (2, 3, 5)
"""Halvings of the search step in each of the slides: rough first, fine at the end."""

SHAPED_ROUNDS = (2, 2, 3, 5)
SLIDE_SHARE, MOST_SLIDE_MM = 0.85, 2.0
"""More slides where crowns have shapes of their own, each by a share of what is wanted: an arch
that bends turns its teeth as they slide. And how far one slide goes."""


@dataclass(frozen=True, slots=True, eq=False)
class ToothStance:
    """How T teeth stand before their place along the arch is known.

    Parameters
    ----------
    lean : (T, 3, 3) float array
        The tooth's mesial, buccal and occlusal axes (rows) in those of the arch under it.
    out_of_line_mm : (T,) float array
        How far each tooth stands buccally of the arch's line. [mm]
    is_right : (T,) bool array
    occlusal_sign : float
        Which way occlusal points: -1 upper, +1 lower.
    spee_mm : float
        Greatest depth of the curve of Spee. [mm]
    """

    lean: Floats
    out_of_line_mm: Floats
    is_right: NDArray[np.bool_]
    occlusal_sign: float
    spee_mm: float

    @classmethod
    def leaning(
        cls,
        *,
        tip_deg: Floats,
        torque_deg: Floats,
        rotation_deg: Floats,
        out_of_line_mm: Floats,
        is_right: NDArray[np.bool_],
        occlusal_sign: float,
        spee_mm: float,
    ) -> "ToothStance":
        """Turn, tip and torque T teeth, and set them out of line, as `mouth.Tooth` says.

        Angles, offsets and ``is_right`` are (T,) arrays, from right to left. [deg, mm]
        """
        mesial, buccal, occlusal = (np.broadcast_to(axis, (len(tip_deg), 3)) for axis in np.eye(3))
        mesial, buccal = _turned(mesial, buccal, rotation_deg)
        occlusal, mesial = _turned(occlusal, mesial, tip_deg)
        occlusal, buccal = _turned(occlusal, buccal, torque_deg)
        lean = np.stack([mesial, buccal, occlusal], axis=1)
        return cls(lean, out_of_line_mm, is_right, occlusal_sign, spee_mm)


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

    def moved(self, pose: Pose) -> "PlacedArch":
        """The same arch carried by a rigid movement."""
        return PlacedArch(
            pose.points(self.origins_arch),
            pose.directions(self.axes_arch),
            pose.points(self.points_arch),
            pose.directions(self.normals_arch),
            self.gaps_mm,
        )


def place_arch(
    curve: ArchCurve,
    sections: CrownSections,
    stance: ToothStance,
    *,
    facets_mm: Floats,
    gaps_mm: Floats,
    nearest: NDArray[np.bool_],
) -> PlacedArch:
    """Slide teeth along a curve until every neighbouring pair has its gap.

    Parameters
    ----------
    facets_mm, gaps_mm : (T - 1,) float array
        Facet width and wanted gap of each pair, right to left. [mm]
    nearest : (T - 1,) bool array
        Whether a pair meets where its surfaces come nearest, else at its flanks' middles.
    """
    cut = _facet_cut(sections, stance, facets_mm)
    wanted = gaps_mm - cut
    every = np.arange(len(sections.codes))
    half = sections.at(every, sections.contact_mm.mean(axis=1))[:, 1]
    along = _side_by_side(half, stance)
    gaps = wanted
    middle = int(stance.is_right.sum())
    shaped = bool(nearest.any())
    for slide, rounds in enumerate(SHAPED_ROUNDS if shaped else PATCH_ROUNDS):
        if slide:
            step = wanted - gaps
            if shaped:
                step = np.clip(SLIDE_SHARE * step, -MOST_SLIDE_MM, MOST_SLIDE_MM)
            along = _closed_up(along, step, middle)
        origins, axes = stand(curve, sections.crown_mm, stance, along)
        points, normals, gaps, mid = _contact_gaps(
            origins, axes, stance.is_right, sections, nearest, rounds
        )
    points = points + mid[:, None] * normals
    return PlacedArch(origins, axes, points, normals, gaps + cut)


def level_contacts_mm(
    curve: ArchCurve,
    stance: ToothStance,
    *,
    crown_mm: Floats,
    half_width_mm: Floats,
    contact_mm: Floats,
) -> Floats:
    """Heights (T, 2) at which crowns must bulge so that neighbours meet level. [mm]

    Each pair meets midway between the two teeth's own heights of contact.

    Parameters
    ----------
    crown_mm, half_width_mm : (T,) float arrays
        Crown heights and half mesiodistal widths. [mm]
    contact_mm : (T, 2) float array
        The teeth's own heights of the mesial and distal contact. [mm]
    """
    along = _side_by_side(half_width_mm, stance)
    origins, axes = stand(curve, crown_mm, stance, along)
    every = np.arange(len(origins))
    left_face, right_face = np.where(stance.is_right, 0, 1), np.where(stance.is_right, 1, 0)
    meets = [
        origins[:, 2]
        + np.where(face == 0, 1.0, -1.0) * half_width_mm * axes[:, 0, 2]
        + contact_mm[every, face] * axes[:, 2, 2]
        for face in (left_face, right_face)
    ]
    meeting = 0.5 * (meets[0][:-1] + meets[1][1:])
    moved, upright = contact_mm.copy(), axes[:, 2, 2]
    moved[every[:-1], left_face[:-1]] += (meeting - meets[0][:-1]) / upright[:-1]
    moved[every[1:], right_face[1:]] += (meeting - meets[1][1:]) / upright[1:]
    crown = crown_mm[:, None]
    return np.clip(moved, LOWEST_CONTACT * crown, HIGHEST_CONTACT * crown)


def stand(
    curve: ArchCurve, crown_mm: Floats, stance: ToothStance, along_mm: Floats
) -> tuple[Floats, Floats]:
    """Origins (T, 3) and axes (T, 3, 3; rows mesial, buccal, occlusal) of teeth along a curve."""
    return _stood(
        curve.at(along_mm),
        curve.tangents(along_mm),
        stance.lean,
        stance.out_of_line_mm,
        stance.is_right,
        crown_mm,
        (stance.occlusal_sign, stance.spee_mm),
    )


@compiled
def _stood(
    places: Floats,
    tangents: Floats,
    lean: Floats,
    out_of_line: Floats,
    is_right: NDArray[np.bool_],
    crown: Floats,
    sign_and_spee: tuple[float, float],
) -> tuple[Floats, Floats]:
    """Origins and axes of teeth over places (T, 2) of an arch with its tangents (T, 2).

    The cusps' line is a parabola of the curve of Spee from the front to the last tooth.
    """
    sign, spee = sign_and_spee
    count = len(places)
    origins, axes = np.empty((count, 3)), np.empty((count, 3, 3))
    front, behind = places[:, 1].min(), places[:, 1].max()
    for t in range(count):
        x, y = tangents[t]
        way = 1.0 if is_right[t] else -1.0
        for i in range(3):
            along, out = lean[t, i, 0], lean[t, i, 1]
            axes[t, i, 0] = along * x * way + out * y
            axes[t, i, 1] = along * y * way - out * x
            axes[t, i, 2] = lean[t, i, 2] * sign
        share = (places[t, 1] - front) / (behind - front)
        for i in range(3):
            origins[t, i] = -PIVOT_SHARE * crown[t] * axes[t, 2, i]
        origins[t, 0] += places[t, 0] + out_of_line[t] * y
        origins[t, 1] += places[t, 1] - out_of_line[t] * x
        origins[t, 2] += -4.0 * spee * share * (1.0 - share)
        origins[t, 2] -= sign * (1.0 - PIVOT_SHARE) * crown[t]
    return origins, axes


def _turned(a: Floats, b: Floats, angle_deg: Floats) -> tuple[Floats, Floats]:
    """Turn axis a towards axis b, and b away from a."""
    cos, sin = np.cos(np.deg2rad(angle_deg))[:, None], np.sin(np.deg2rad(angle_deg))[:, None]
    return a * cos + b * sin, b * cos - a * sin


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


def _side_by_side(half_width_mm: Floats, stance: ToothStance) -> Floats:
    """Places along the arch of teeth set edge to edge, the midline between right and left. [mm]"""
    ends = np.cumsum(2 * half_width_mm)
    middle = int(stance.is_right.sum())
    start = ends[middle - 1] if middle else 0.0
    return np.asarray(ends - half_width_mm - start)


@compiled
def _closed_up(along: Floats, wanted_move: Floats, middle: int) -> Floats:
    """Move teeth outward from the midline by the summed corrections; the midline contact stays."""
    pair, count = middle - 1, len(along)
    moved = along.copy()
    in_reach = 0 <= pair < len(wanted_move)
    half, first = (0.5 * wanted_move[pair], middle) if in_reach else (0.0, 0)
    total = 0.0
    for t in range(first, count):
        moved[t] += half + total
        total += wanted_move[t] if t < count - 1 else 0.0
    total = 0.0
    for t in range(first - 1, -1, -1):
        moved[t] -= half + total
        total += wanted_move[t - 1] if t > 0 else 0.0
    return moved


def _contact_gaps(
    origins: Floats,
    axes: Floats,
    is_right: NDArray[np.bool_],
    sections: CrownSections,
    nearest: NDArray[np.bool_],
    rounds: int,
) -> tuple[Floats, Floats, Floats, Floats]:
    """Patch middles, normals, least gaps and the midway offset along each normal."""
    lowest, table, contact = sections.lowest_mm, sections.table, sections.contact_mm
    turns = np.column_stack([sections.shear, sections.taper])
    bisectors = flank_bisectors(origins, axes, is_right, lowest, table, turns, contact)
    return least_gaps(bisectors, origins, axes, lowest, table, turns, nearest, rounds)


__all__ = ["PlacedArch", "ToothStance", "level_contacts_mm", "place_arch", "stand"]

"""Both arches placed: crowns shaped to meet, slid into contact, laid into the mouth frame."""

from dataclasses import dataclass, field
from functools import lru_cache
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from bitewright.errors import BitewrightError
from bitewright.mouth.arch_curve import ArchCurve
from bitewright.mouth.bite import upper_from_lower
from bitewright.mouth.contacts import (
    PlacedArch,
    ToothStance,
    level_contacts_mm,
    place_arch,
)
from bitewright.mouth.crown_sections import CrownSections, crown_sections, usual_contacts_mm
from bitewright.mouth.jaws import ArchParts
from bitewright.mouth.mouth import ArchForm, Contact, CurveKind, Mouth, Tooth, standard_contact
from bitewright.mouth.occlusal_surface import Cusps, cusps
from bitewright.mouth.tooth_forms import is_right, is_upper
from bitewright.space import Pose

Floats = NDArray[np.float64]

DEEPEST_MM = 8.0
"""Outlines need roots no deeper than bone loss may bring the crest."""

FREE_END_FACET_MM = 1.0
"""Facet assumed where a tooth has no neighbour, so that it keeps its own width."""


class EmptyArchError(BitewrightError):
    """An arch has too few teeth to stand on a curve."""

    def __init__(self, arch: str, count: int) -> None:
        self.arch = arch
        super().__init__(
            f"The {arch} arch has {count} teeth, a mouth needs at least two in each arch (kept "
            "spaces count): add teeth to the description."
        )


@dataclass(frozen=True, slots=True, eq=False)
class PlacedArches:
    """Upper and lower arch in the mouth frame, jaws closed, kept spaces included."""

    upper: ArchParts
    lower: ArchParts
    lower_front_mouth: Floats
    mouth_from_lower: Pose


def place_arches(mouth: Mouth) -> PlacedArches:
    """Shape and place both arches and relate the jaws.

    Raises
    ------
    EmptyArchError
        If an arch has fewer than two teeth to place.
    """
    upper, lower = (_Row.of(mouth, upper=is_upper) for is_upper in (True, False))
    chain = upper.chain + lower.chain
    teeth = [mouth.teeth[code] for code in chain]
    facets = np.concatenate([crown_facets_mm(mouth, row.chain) for row in (upper, lower)])
    crown, width = (
        np.array([getattr(tooth, name) for tooth in teeth])
        for name in ("crown_length_mm", "md_crown_mm")
    )
    rises = np.concatenate([_contact_rises_mm(mouth, row.chain) for row in (upper, lower)])
    usual = usual_contacts_mm(chain, crown) + rises
    level = np.concatenate(
        [
            level_contacts_mm(
                row.curve,
                row.stance,
                crown_mm=crown[row.rows],
                half_width_mm=0.5 * width[row.rows],
                contact_mm=usual[row.rows],
            )
            for row in (upper, lower)
        ]
    )
    shaped = crown_sections(chain, teeth, facets, contact_mm=level, deepest_mm=DEEPEST_MM)
    tips = cusps(chain, teeth, shaped)
    upper_parts, lower_parts = (row.placed(mouth, shaped, tips) for row in (upper, lower))
    mouth_from_arch = _mouth_from_arch(upper_parts)
    mouth_from_lower = mouth_from_arch @ upper_from_lower(
        upper_parts, lower_parts, molar_shift_mm=mouth.molar_shift_mm
    )
    lower_placed = lower_parts.placed.moved(mouth_from_lower)
    return PlacedArches(
        upper=upper_parts.with_placed(upper_parts.placed.moved(mouth_from_arch)),
        lower=lower_parts.with_placed(lower_placed),
        lower_front_mouth=_incisal_middle(lower_parts.codes, lower_parts.cusps, lower_placed),
        mouth_from_lower=mouth_from_lower,
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Row:
    """One row of teeth before it is placed: codes right to left, curve, stance, contacts."""

    chain: tuple[int, ...]
    rows: list[int]
    curve: ArchCurve
    stance: ToothStance
    contacts: list[Contact]
    shaped: NDArray[np.bool_]

    @classmethod
    def of(cls, mouth: Mouth, *, upper: bool) -> "_Row":
        chain = mouth.chain(upper=upper)
        if len(chain) < 2:
            raise EmptyArchError("upper" if upper else "lower", len(chain))
        teeth = [mouth.teeth[code] for code in chain]
        stance = ToothStance.leaning(
            tip_deg=np.array([t.tip_deg for t in teeth]),
            torque_deg=np.array([t.torque_deg for t in teeth]),
            rotation_deg=np.array([t.rotation_deg for t in teeth]),
            out_of_line_mm=np.array([t.out_of_line_mm for t in teeth]),
            is_right=np.array([is_right(code) for code in chain]),
            occlusal_sign=-1.0 if upper else 1.0,
            spee_mm=mouth.spee_mm,
        )
        before = 0 if upper else len(mouth.chain(upper=True))
        return cls(
            chain,
            list(range(before, before + len(chain))),
            arch_curve(mouth.upper if upper else mouth.lower),
            stance,
            [contact_between(mouth, *pair) for pair in pairwise(chain)],
            np.array([tooth.has_own_shape for tooth in teeth]),
        )

    def placed(self, mouth: Mouth, sections: CrownSections, tips: Cusps) -> ArchParts:
        """Slide the teeth into contact."""
        own = sections.take(self.rows)
        wish = _ArchWish(
            teeth=tuple(mouth.teeth[code] for code in self.chain),
            chain=self.chain,
            contacts=tuple(self.contacts),
            form=mouth.upper if is_upper(self.chain[0]) else mouth.lower,
            spee_mm=mouth.spee_mm,
            row=self,
            sections=own,
        )
        return ArchParts(self.chain, _stood_in_contact(wish), own, tips.take(self.rows))


@dataclass(frozen=True, slots=True, kw_only=True)
class _ArchWish:
    """An arch to place, told from others by what its mouth says of it: all else follows from that.

    The search for a film's mouth changes one arch at a time, and the other stays where it stood.
    """

    teeth: tuple[Tooth, ...]
    chain: tuple[int, ...]
    contacts: tuple[Contact, ...]
    form: ArchForm
    spee_mm: float
    row: _Row = field(compare=False)
    sections: CrownSections = field(compare=False)


@lru_cache(maxsize=4)
def _stood_in_contact(wish: _ArchWish) -> PlacedArch:
    row = wish.row
    return place_arch(
        row.curve,
        wish.sections,
        row.stance,
        facets_mm=np.array([c.facet_width_mm for c in row.contacts]),
        gaps_mm=np.array([c.gap_mm for c in row.contacts]),
        nearest=row.shaped[:-1] | row.shaped[1:],
    )


def crown_facets_mm(mouth: Mouth, chain: tuple[int, ...]) -> Floats:
    """Facet widths at the mesial and distal surface of each tooth of a chain, (T, 2). [mm]"""
    between = [contact_between(mouth, *pair).facet_width_mm for pair in pairwise(chain)]
    return _mesial_and_distal(chain, between, at_the_ends=FREE_END_FACET_MM)


def _contact_rises_mm(mouth: Mouth, chain: tuple[int, ...]) -> Floats:
    """How much nearer the biting edge than usual each tooth's contacts lie, (T, 2). [mm]"""
    between = [contact_between(mouth, *pair).rise_mm for pair in pairwise(chain)]
    return _mesial_and_distal(chain, between, at_the_ends=0.0)


def _mesial_and_distal(
    chain: tuple[int, ...], between: list[float], *, at_the_ends: float
) -> Floats:
    """Values given between neighbours of a chain, laid to each tooth's mesial and distal side."""
    towards_right = np.array([at_the_ends, *between])
    towards_left = np.array([*between, at_the_ends])
    right = np.array([is_right(code) for code in chain])
    mesial = np.where(right, towards_left, towards_right)
    return np.column_stack([mesial, np.where(right, towards_right, towards_left)])


def contact_between(mouth: Mouth, one: int, other: int) -> Contact:
    """The contact of two listed neighbours, whichever is named first; else the usual one."""
    known = mouth.contacts.get((one, other)) or mouth.contacts.get((other, one))
    return known or standard_contact((one, other))


def arch_curve(form: ArchForm) -> ArchCurve:
    """The curve an arch form describes."""
    if form.curve is CurveKind.BETA:
        return _beta(form.width_mm, form.depth_mm)
    return ArchCurve.polynomial(
        canine_mm=(0.5 * form.canine_width_mm, form.canine_depth_mm),
        molar_mm=(0.5 * form.width_mm, form.depth_mm),
    )


@lru_cache(maxsize=64)
def _beta(width_mm: float, depth_mm: float) -> ArchCurve:
    return ArchCurve.beta(width_mm=width_mm, depth_mm=depth_mm)


def _mouth_from_arch(upper: ArchParts) -> Pose:
    """Tilt and shift that put the incisal midpoint at zero and both first molars' cusps level."""
    middle = _incisal_middle(upper.codes, upper.cusps, upper.placed)
    right, left = (_molar_cusp(upper, code) for code in (16, 26))
    if right is None or left is None:
        return Pose(np.eye(3), -middle)
    back = 0.5 * (right + left) - middle
    across = left - right
    up = np.cross(across, back)
    up /= np.linalg.norm(up)
    back -= back @ up * up
    # Keep the arch's own midline: the new y axis is the old one laid into the new plane.
    y = np.array([0.0, 1.0, 0.0]) - up[1] * up
    y /= np.linalg.norm(y)
    rotation = np.stack([np.cross(y, up), y, up])
    return Pose(rotation, -rotation @ middle)


def _incisal_middle(codes: tuple[int, ...], tips: Cusps, placed: PlacedArch) -> Floats:
    """Midway between the two teeth nearest the midline, at their edges. [mm]"""
    row = sum(is_right(code) for code in codes)
    rows = [max(row - 1, 0), min(row, len(codes) - 1)]
    local = tips.tips_tooth[rows, 0]
    edges = placed.origins_arch[rows] + np.einsum("tk,tkc->tc", local, placed.axes_arch[rows])
    return np.asarray(edges.mean(axis=0))


def _molar_cusp(part: ArchParts, code: int) -> Floats | None:
    if code not in part.codes:
        return None
    row = part.codes.index(code)
    local = part.cusps.tips_tooth[row, part.cusps.names[row].index("mesiobuccal")]
    return np.asarray(part.placed.origins_arch[row] + local @ part.placed.axes_arch[row])


__all__ = [
    "EmptyArchError",
    "PlacedArches",
    "arch_curve",
    "contact_between",
    "crown_facets_mm",
    "place_arches",
]

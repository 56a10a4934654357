"""Teeth as closed shells one inside the other, lofted from the same sections as the outlines.

Simple solids, honest about their sizes and contacts: one trunk for the roots, pressed in below the
furcation of molars. Thickness of enamel and size of pulp are our choice where no source is named.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bitewright.dentition.arches import crown_facets_mm
from bitewright.dentition.bone_shells import BoneShells
from bitewright.dentition.crown_sections import CrownSections, crown_sections
from bitewright.dentition.lofts import joined, loft
from bitewright.dentition.mouth import Tooth
from bitewright.dentition.outlines import Outlines
from bitewright.dentition.tooth_forms import is_upper
from bitewright.space import ClosedMesh

Floats = NDArray[np.float64]

AROUND = 56
ROOT_RINGS = 18
CROWN_RINGS = 20
CAP_SCALES = (0.86, 0.7, 0.52, 0.34, 0.16)
FURCATION_MM = {True: 3.8, False: 3.2}
"""Depth of a molar's furcation below the junction, upper and lower. Our choice."""

CHAMBER_FLOOR_MM = 1.1
"""A molar's pulp chamber ends this far above the furcation. Our choice."""

CANALS = {
    True: ((1.0, 0.42, 0.10), (-1.0, 0.42, 0.10), (0.0, -0.45, 0.12)),
    False: ((1.0, 0.0, 0.36), (-1.0, 0.0, 0.32)),
}
"""Canals of upper and lower molars: side (mesial 1), place and breadth as shares of the root's."""

SOCKET_MM = 0.2
"""Periodontal space: 0.15 to 0.21 mm (general radiology reference)."""

LAMINA_MM = 0.25
"""Lamina dura: 0.2 to 0.5 mm, common practice, no source."""


@dataclass(frozen=True, slots=True, eq=False)
class ToothShells:
    """One tooth's closed surfaces in the mouth frame, jaws closed. [mm]"""

    code: int
    outer: ClosedMesh
    dentine: ClosedMesh
    pulp: ClosedMesh
    root_rings: "_RootRings"

    def sockets(self, bone: BoneShells) -> tuple[ClosedMesh, ClosedMesh]:
        """The root widened by the periodontal space, and that with the hard layer lining it.

        Pressed into the cortex and into the spongiosa, which they are taken out of.
        """
        return (
            loft(bone.cortex.pressed_in(self.root_rings.socket_mouth)),
            loft(bone.spongiosa.pressed_in(self.root_rings.lamina_mouth)),
        )


@dataclass(frozen=True, slots=True, eq=False)
class _RootRings:
    """Rings round a root from its end to above the crest. [mm]"""

    socket_mouth: Floats
    lamina_mouth: Floats


def tooth_shells(outlines: Outlines, codes: tuple[int, ...]) -> tuple[ToothShells, ...]:
    """Shells of some of the teeth present."""
    mouth = outlines.mouth
    facets = np.concatenate([crown_facets_mm(mouth, mouth.chain(upper=up)) for up in (True, False)])
    chain = mouth.chain(upper=True) + mouth.chain(upper=False)
    rows = [outlines.row[code] for code in codes]
    sections = crown_sections(
        codes,
        [mouth.teeth[code] for code in codes],
        facets[[chain.index(code) for code in codes]],
        contact_mm=outlines.sections.contact_mm[rows],
    )
    return tuple(_shells(outlines, sections, row, code) for row, code in enumerate(codes))


def _shells(outlines: Outlines, sections: CrownSections, row: int, code: int) -> ToothShells:
    tooth, own = outlines.mouth.teeth[code], outlines.row[code]
    shape = _Shape(sections, row, code, tooth, outlines)
    heights = shape.heights()
    outside = shape.rings(heights)
    placed = shape.placed(_with_cap(shape, outside, 0.0))
    pressed = _pressed(placed, outlines.planes_mouth[own], shape.is_crown(heights))
    inside = shape.inset(outside)
    tip = shape.placed(
        np.array([[[*shape.root_middle(-tooth.root_length_mm), -tooth.root_length_mm]]])
    )[0, 0]
    return ToothShells(
        code=code,
        outer=loft(pressed, start=tip),
        dentine=loft(shape.placed(_with_cap(shape, inside, shape.top_enamel)), start=tip),
        pulp=joined([loft(shape.placed(rings)) for rings in shape.pulp_rings()]),
        root_rings=_RootRings(
            socket_mouth=shape.placed(shape.root_rings(SOCKET_MM)),
            lamina_mouth=shape.placed(shape.root_rings(SOCKET_MM + LAMINA_MM)),
        ),
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Shape:
    """One tooth's rings in its own axes: mesial, buccal, occlusal. [mm]"""

    sections: CrownSections
    row: int
    code: int
    tooth: Tooth
    outlines: Outlines

    @property
    def is_molar(self) -> bool:
        return self.code % 10 >= 6

    @property
    def top_enamel(self) -> float:
        """Enamel over the chewing surface. [mm]"""
        return 0.9 if self.code % 10 <= 3 else 1.5

    def heights(self) -> Floats:
        crown, root = self.tooth.crown_length_mm, self.tooth.root_length_mm
        below = -root * np.linspace(0.985, 0.0, ROOT_RINGS + 1) ** 1.15
        # Rings crowd at the neck, where enamel thins out.
        above = crown * np.linspace(0.0, 1.0, CROWN_RINGS + 1)[1:] ** 1.1
        return np.concatenate([below, above])

    def rings(self, heights: Floats) -> Floats:
        """Rings (K, M, 3) at heights; near the top they sink to the chewing surface."""
        table = self.sections.at(np.full(len(heights), self.row), heights)[:, None, :]
        angle = np.linspace(0.0, 2.0 * np.pi, AROUND, endpoint=False)
        cos, sin = np.cos(angle), np.sin(angle)
        power = 2.0 / table[..., 4]
        across = np.sign(cos) * np.abs(cos) ** power * table[..., 1]
        deep = np.sign(sin) * np.abs(sin) ** power * table[..., 3]
        height = np.broadcast_to(heights[:, None], across.shape)
        across, deep = self._rooted(across, deep, height, table)
        buccal = table[..., 2] + deep
        mesial = table[..., 0] + across + self.sections.shear[self.row] * buccal
        middle = self.root_middle(heights)
        rings = np.stack(
            [mesial + middle[0][:, None], buccal + middle[1][:, None], height], axis=-1
        )
        return self._sunk(rings)

    def root_middle(self, height: Floats | float) -> Floats:
        """Roots bend a little backwards; (2, ...) mesial and buccal shift of the axis."""
        depth = np.clip(-np.asarray(height) / self.tooth.root_length_mm, 0.0, 1.0)
        bend = -0.06 * self.tooth.md_cervix_mm * depth**2
        return np.stack([bend, 0.0 * bend])

    def _rooted(
        self, across: Floats, deep: Floats, height: Floats, table: Floats
    ) -> tuple[Floats, Floats]:
        """Split a molar's trunk below its furcation: spread, and pressed in between the roots."""
        if not self.is_molar:
            return across, deep
        below = self._split(height)
        across = across * self.spread(height)
        share = across / np.maximum(table[..., 1], 1e-6)
        gap = 0.16 + 0.22 * np.clip(self._below_furcation(height) / 0.45, 0.0, 1.0)
        waist = 1.0 - 0.94 * below * np.exp(-((share / gap) ** 4))
        pressed = deep * waist
        if is_upper(self.code):
            # The palatal root stands behind the gap between the two buccal ones.
            return across, np.where(deep > 0, pressed, deep)
        return across, pressed

    def _below_furcation(self, height: Floats) -> Floats:
        """Depth below the furcation as a share of the root; 0 above it."""
        start = FURCATION_MM[is_upper(self.code)]
        return np.asarray(np.maximum((-height - start) / self.tooth.root_length_mm, 0.0))

    def _split(self, height: Floats) -> Floats:
        """How far a molar's roots have parted, from 0 to 1."""
        depth = np.clip(self._below_furcation(height) / 0.14, 0.0, 1.0)
        return np.asarray(depth * depth * (3.0 - 2.0 * depth))

    def spread(self, height: Floats) -> Floats:
        """How much wider mesiodistally a molar's roots stand than one trunk would."""
        share = 0.55 if self.code % 10 > 6 else 1.0
        return np.asarray(1.0 + share * 1.25 * self._below_furcation(height))

    def _sunk(self, rings: Floats) -> Floats:
        """No point stands higher than the chewing surface under it."""
        if self.code % 10 <= 2:
            return rings
        rings[..., 2] = np.minimum(rings[..., 2], self.surface(rings[..., 0], rings[..., 1]))
        return rings

    def surface(self, mesial: Floats, buccal: Floats) -> Floats:
        """Height of the chewing surface. [mm]"""
        if self.code % 10 <= 2:
            return np.full(np.shape(mesial), self.tooth.crown_length_mm)
        own = self.outlines.row[self.code]
        teeth = np.full(np.shape(mesial), own)
        return np.asarray(self.outlines.cusps.height_mm(teeth, mesial, buccal))

    def inset(self, rings: Floats) -> Floats:
        """Rings of the dentine: within the enamel in the crown, the same on the root."""
        above = rings[..., 2] - self.junction(rings[..., 0])
        crown = self.tooth.crown_length_mm
        rise = np.clip(above / (0.55 * crown), 0.0, 1.0)
        thick = self.tooth.enamel_contact_mm * np.sin(0.5 * np.pi * rise) ** 0.95
        middle = rings[..., :2].mean(axis=1, keepdims=True)
        reach = np.linalg.norm(rings[..., :2] - middle, axis=-1)
        outward = _outward(rings[..., :2])
        thick = np.minimum(thick, 0.45 * reach)
        moved = rings.copy()
        moved[..., :2] -= thick[..., None] * outward
        near_top = np.clip((rings[..., 2] - 0.5 * crown) / (0.5 * crown), 0.0, 1.0)
        moved[..., 2] = np.where(
            above > 0,
            rings[..., 2] - self.top_enamel * near_top**2 * (3 - 2 * near_top),
            rings[..., 2],
        )
        return moved

    def junction(self, mesial: Floats) -> Floats:
        """Height of the cemento-enamel junction, higher towards the neighbours. [mm]"""
        rise = np.where(mesial > 0, self.tooth.cej_curve_mesial_mm, self.tooth.cej_curve_distal_mm)
        return rise * np.clip(2.0 * mesial / self.tooth.md_cervix_mm, -1.0, 1.0) ** 2

    def is_crown(self, heights: Floats) -> NDArray[np.bool_]:
        """Which rings the contact facets cut, the cap's included."""
        crown = heights > 0.25 * self.tooth.crown_length_mm
        return np.concatenate([crown, np.ones(len(CAP_SCALES), dtype=bool)])

    def pulp_rings(self) -> list[Floats]:
        """Stacks of rings that do not reach into one another: chamber and canals."""
        crown, root = self.tooth.crown_length_mm, self.tooth.root_length_mm
        if self.is_molar:
            return [self._chamber(), *self._canals()]
        knots = np.array([-0.9 * root, -0.5 * root, -2.5, -0.8, 0.2 * crown, 0.52 * crown])
        heights = np.concatenate([np.linspace(knots[0], -2.5, 9), np.linspace(-1.8, knots[-1], 9)])
        share = np.column_stack(
            [
                np.interp(heights, knots, [0.06, 0.11, 0.17, 0.20, 0.17, 0.03]),
                np.interp(heights, knots, [0.08, 0.18, 0.30, 0.36, 0.32, 0.08]),
                np.ones(len(heights)),
            ]
        )
        rings = self.rings(heights)
        middle = rings.mean(axis=1, keepdims=True)
        return [np.asarray(middle + share[:, None] * (rings - middle))]

    def _chamber(self) -> Floats:
        """A molar's pulp chamber, swept mesiodistally: two horns above, a floor between roots."""
        reach = 0.29 * self.tooth.md_cervix_mm
        share = np.sin(np.linspace(-1.0, 1.0, 25) * 0.5 * np.pi * 0.98)
        horn = np.exp(-(((np.abs(share) - 0.55) / 0.3) ** 2)) * (0.85 + 0.15 * np.sign(share))
        thin = np.sqrt(1.0 - np.abs(share) ** 2.6)
        roof = -0.9 + 0.25 * self.tooth.crown_length_mm * horn * thin
        floor = -FURCATION_MM[is_upper(self.code)] + CHAMBER_FLOOR_MM - 0.5 * share**2 * thin
        middle, tall = 0.5 * (roof + floor), 0.5 * (roof - floor) * thin
        broad = 0.21 * self.tooth.bl_cervix_mm * np.sqrt(1.0 - 0.85 * share**2)
        angle = np.linspace(0.0, 2.0 * np.pi, 24, endpoint=False)
        height = middle[:, None] + tall[:, None] * np.sin(angle)
        neck = self.sections.at(np.full(1, self.row), np.array([-1.0]))[0]
        buccal = neck[2] + broad[:, None] * np.cos(angle)
        mesial = neck[0] + np.broadcast_to(reach * share[:, None], height.shape)
        return np.stack([mesial, buccal, height], axis=-1)

    def _canals(self) -> list[Floats]:
        """A molar's canals: one in each root, from just below the chamber's floor."""
        root = self.tooth.root_length_mm
        start = -FURCATION_MM[is_upper(self.code)] + CHAMBER_FLOOR_MM - 0.65
        heights = np.linspace(-0.9 * root, start, 12)
        table = self.sections.at(np.full(len(heights), self.row), heights)
        down = (start - heights) / (start + 0.9 * root)
        bend = self.root_middle(heights)
        spread = self.spread(heights)
        turn = np.linspace(0.0, 2.0 * np.pi, 16, endpoint=False)
        wide = (0.34 - 0.26 * down)[:, None] * np.cos(turn)
        stacks = []
        for side, buccal, deep in CANALS[is_upper(self.code)]:
            # From below a horn out to the middle of the root.
            out = np.minimum(0.45 + 0.75 * down, 0.62) * table[:, 1] * spread
            x = bend[0] + table[:, 0] + side * out
            y = bend[1] + table[:, 2] + buccal * table[:, 3]
            x = x + self.sections.shear[self.row] * y
            broad = (deep * table[:, 3] * (1.0 - 0.5 * down))[:, None] * np.sin(turn)
            stacks.append(
                np.stack(
                    np.broadcast_arrays(x[:, None] + wide, y[:, None] + broad, heights[:, None]),
                    axis=-1,
                )
            )
        return stacks

    def root_rings(self, wider_mm: float) -> Floats:
        """Rings round the root made wider, from its end to above any crest."""
        root = 0.985 * self.tooth.root_length_mm
        heights = np.concatenate([np.linspace(-root, -4.5, 14), np.linspace(-4.0, 1.0, 16)])
        rings = self.rings(heights)
        rings[..., :2] += wider_mm * _outward(rings[..., :2])
        rings[0, :, 2] -= wider_mm
        middle = rings[-1].mean(axis=0)
        caps = [middle + scale * (rings[-1] - middle) for scale in (0.8, 0.6, 0.4, 0.2, 0.02)]
        return np.concatenate([rings, np.stack(caps)])

    def placed(self, rings: Floats) -> Floats:
        """From the tooth's own axes to the mouth frame."""
        own = self.outlines.row[self.code]
        return np.asarray(rings @ self.outlines.axes_mouth[own] + self.outlines.origins_mouth[own])


def _with_cap(shape: _Shape, rings: Floats, lower_mm: float) -> Floats:
    """Close a crown with rings shrinking over its chewing surface, less a depth. [mm]"""
    rim = rings[-1]
    middle = rim.mean(axis=0)
    caps = []
    for scale in CAP_SCALES:
        ring = middle + scale * (rim - middle)
        ring[:, 2] = (
            np.minimum(shape.surface(ring[:, 0], ring[:, 1]), shape.tooth.crown_length_mm + 1.0)
            - lower_mm
        )
        caps.append(ring)
    return np.concatenate([rings, np.stack(caps)])


def _outward(ring: Floats) -> Floats:
    """Unit outward normals of closed plane rings (K, M, 2)."""
    along = np.roll(ring, -1, axis=1) - np.roll(ring, 1, axis=1)
    normal = np.stack([along[..., 1], -along[..., 0]], axis=-1)
    return np.asarray(normal / np.maximum(np.linalg.norm(normal, axis=-1), 1e-9)[..., None])


def _pressed(rings: Floats, planes: Floats, crown: NDArray[np.bool_]) -> Floats:
    """Press crown rings behind their facet planes."""
    pressed = rings.copy()
    for plane in planes:
        over = np.maximum(pressed[crown] @ plane[:3] - plane[3], 0.0)
        pressed[crown] -= over[..., None] * plane[:3]
    return pressed


__all__ = ["ToothShells", "tooth_shells"]

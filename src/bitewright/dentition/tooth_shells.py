"""Teeth as closed shells one inside the other, lofted from the same sections as the outlines.

Simple solids, honest about their sizes and contacts: one trunk for the roots, pressed in below the
furcation of molars. Thickness of enamel and size of pulp are our choice where no source is named.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bitewright.dentition.arches import crown_facets_mm
from bitewright.dentition.bone_shells import (
    CREST_PLATE_MM,
    SHOULDER_MM,
    half_breadth_mm,
    septum_tops,
)
from bitewright.dentition.crown_sections import CrownSections, crown_sections
from bitewright.dentition.lofts import loft
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

SOCKET_MM = 0.2
"""Periodontal space: 0.15 to 0.21 mm (general radiology reference)."""

LAMINA_MM = 0.25
"""Lamina dura: 0.2 to 0.5 mm, common practice, no source."""


@dataclass(frozen=True, slots=True, eq=False)
class ToothShells:
    """One tooth's closed surfaces in the mouth frame, jaws closed. [mm]

    ``socket`` is the root widened by the periodontal space, from the crest down; ``lamina`` is the
    socket with the hard layer that lines it.
    """

    code: int
    outer: ClosedMesh
    dentine: ClosedMesh
    pulp: ClosedMesh
    socket: ClosedMesh
    lamina: ClosedMesh


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
        pulp=loft(shape.placed(shape.pulp_rings())),
        socket=loft(shape.placed(shape.socket_rings(SOCKET_MM, below_mm=0.0))),
        lamina=loft(
            shape.placed(shape.socket_rings(SOCKET_MM + LAMINA_MM, below_mm=CREST_PLATE_MM))
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
        start = FURCATION_MM[is_upper(self.code)]
        depth = np.clip((-height - start) / (0.35 * self.tooth.root_length_mm), 0.0, 1.0)
        below = depth * depth * (3.0 - 2.0 * depth)
        second = 0.55 if self.code % 10 > 6 else 1.0
        shrink = np.clip((-height - start) / self.tooth.root_length_mm, 0.0, 1.0)
        across = across * (1.0 + second * (0.25 * below + 0.9 * shrink))
        share = across / np.maximum(table[..., 1], 1e-6)
        waist = 1.0 - 0.94 * below * np.exp(-((share / 0.34) ** 4))
        pressed = deep * waist
        if is_upper(self.code):
            # The palatal root stands behind the gap between the two buccal ones.
            return across, np.where(deep > 0, pressed, deep)
        return across, pressed

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

    def pulp_rings(self) -> Floats:
        """Chamber and canal as one narrow loft."""
        crown, root = self.tooth.crown_length_mm, self.tooth.root_length_mm
        top = 0.42 * crown if self.is_molar else 0.55 * crown
        heights = np.concatenate([np.linspace(-0.88 * root, -2.5, 8), np.linspace(-1.5, top, 9)])
        knots = [-0.88 * root, -0.5 * root, -2.5, -0.8, 0.2 * crown, top]
        wide = (
            [0.05, 0.09, 0.13, 0.30, 0.27, 0.06]
            if self.is_molar
            else [0.04, 0.10, 0.17, 0.22, 0.20, 0.04]
        )
        share = np.interp(heights, knots, wide)[:, None]
        ring = self.rings(heights)
        middle = ring.mean(axis=1, keepdims=True)
        if self.is_molar:
            # One canal space between the roots would look like a third root: keep to the chamber.
            keep = heights > -FURCATION_MM[is_upper(self.code)]
            heights, ring, middle, share = heights[keep], ring[keep], middle[keep], share[keep]
        rings = middle + share[..., None] * (ring - middle)
        rings[..., 2] = heights[:, None]
        return np.asarray(rings)

    def socket_rings(self, wider_mm: float, *, below_mm: float) -> Floats:
        """The root made wider, from the apex to so far below the bone's crest. [mm]"""
        root = 0.985 * self.tooth.root_length_mm
        rise = np.linspace(0.0, 1.0, 16)
        rings = self.rings(-root + rise * (root - 0.5))
        rings[..., :2] += wider_mm * _outward(rings[..., :2])
        top = self.crest_height(rings[..., 0], rings[..., 1], below_mm)
        rings[..., 2] = -root + rise[:, None] * (top + root)
        # Close the top along the bone's rounded surface.
        middle = rings[-1].mean(axis=0)
        caps = [middle + scale * (rings[-1] - middle) for scale in (0.8, 0.6, 0.4, 0.2, 0.02)]
        for cap in caps:
            cap[:, 2] = self.crest_height(cap[:, 0], cap[:, 1], below_mm)
        return np.concatenate([rings, np.stack(caps)])

    def crest_height(self, mesial: Floats, buccal: Floats, below_mm: float) -> Floats:
        """Height in the tooth's axes of the bone's surface over places, less a depth. [mm]"""
        own = self.outlines.row[self.code]
        axes, origin = self.outlines.axes_mouth[own], self.outlines.origins_mouth[own]
        at_mesial, at_distal = septum_tops(self.outlines, self.code)
        share = np.clip(0.5 + mesial / self.tooth.md_crown_mm, 0.0, 1.0)
        level = at_distal[2] + share * (at_mesial[2] - at_distal[2])
        side = np.clip(np.abs(buccal) / half_breadth_mm(self.outlines, self.code), 0.0, 1.0)
        rootward = 1.0 if is_upper(self.code) else -1.0
        level = level + rootward * (SHOULDER_MM * side**4 + below_mm)
        lateral = origin[2] + mesial * axes[0, 2] + buccal * axes[1, 2]
        return np.asarray((level - lateral) / axes[2, 2])

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

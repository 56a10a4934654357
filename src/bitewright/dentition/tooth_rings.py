"""Rings round a tooth at any height, from the same sections and cusps as the outlines.

All in the tooth's own axes: mesial, buccal, occlusal; zero at the buccal cemento-enamel junction.
[mm] A ring's points keep their place round the tooth from ring to ring.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bitewright.dentition.arches import crown_facets_mm
from bitewright.dentition.crown_sections import CrownSections, crown_sections
from bitewright.dentition.mouth import Tooth
from bitewright.dentition.outlines import Outlines
from bitewright.dentition.tooth_forms import is_upper, tooth_form

Floats = NDArray[np.float64]

AROUND = 64
"""Points of a ring; the first lies mesially, the second quarter starts buccally."""

FLUTE_SHARE = {4: 0.18, 5: 0.12}
"""Depth of the groove along the proximal side of a root, by place; else 0.08. Our choice."""

FLUTE_FROM_MM = (-1.8, -5.0)
"""The groove begins and is full here: crest points stay on the sections' own width. Our choice."""

EDGE_ROUNDNESS_MM = 0.8
CANINE_ROUNDNESS_MM = 1.6
RIDGE_BELOW_CUSPS_MM = 1.75
RIDGE_AT_SHARE = 0.37
"""Marginal ridge of a molar or premolar: height and place as a share of the width. Our choice."""


@dataclass(frozen=True, slots=True, eq=False)
class ToothRings:
    """One tooth's rings; ``row`` is its row in the sections and in the outlines' tables."""

    code: int
    row: int
    tooth: Tooth
    sections: CrownSections
    outlines: Outlines

    @property
    def place(self) -> int:
        """Place from the midline, 1 to 8."""
        return self.code % 10

    @property
    def is_molar(self) -> bool:
        """Whether the root branches."""
        return self.place >= 6

    @property
    def is_upper(self) -> bool:
        """Whether the tooth stands in the upper jaw."""
        return is_upper(self.code)

    @property
    def roundness_mm(self) -> float:
        """How widely the edge between flank and chewing surface is rounded. [mm]"""
        return CANINE_ROUNDNESS_MM if self.place == 3 else EDGE_ROUNDNESS_MM

    @property
    def shear(self) -> float:
        """Mesial shift per mm towards the cheek."""
        return float(self.sections.shear[self.row])

    def apices(self) -> tuple[Floats, ...]:
        """Root ends, (2,) mesial and buccal each; the same as the outlines' apex points. [mm]"""
        scale = np.array([self.tooth.md_cervix_mm, self.tooth.bl_cervix_mm])
        return tuple(scale * apex for apex in tooth_form(self.code).apices.values())

    def at(self, height: Floats, *, wider_mm: float = 0.0) -> Floats:
        """Rings (K, M, 3) at heights (K, M), with single roots on their way to the apex. [mm]"""
        table = self.sections.at(np.full(height.shape, self.row), height)
        angle = np.linspace(0.0, 2.0 * np.pi, AROUND, endpoint=False)
        power = 2.0 / table[..., 4]
        cos, sin = np.cos(angle), np.sin(angle)
        x = np.sign(cos) * np.abs(cos) ** power
        y = np.sign(sin) * np.abs(sin) ** power
        buccal = table[..., 2] + y * table[..., 3]
        mesial = table[..., 0] + x * self._fluted(y, height) * table[..., 1] + self.shear * buccal
        rings = np.stack([mesial, buccal, height], axis=-1)
        if not self.is_molar:
            depth = np.clip(-height / self.tooth.root_length_mm, 0.0, 1.0)[..., None]
            rings[..., :2] += depth**2 * np.mean(self.apices(), axis=0)
        if wider_mm:
            rings[..., :2] += wider_mm * outward(rings[..., :2])
        return rings

    def _fluted(self, y: Floats, height: Floats) -> Floats:
        """Share of the root's width left by its proximal grooves."""
        deep = FLUTE_SHARE.get(self.place, 0.08) * smooth_step(
            (FLUTE_FROM_MM[0] - height) / (FLUTE_FROM_MM[0] - FLUTE_FROM_MM[1])
        )
        return np.asarray(1.0 - deep * np.exp(-((y / 0.38) ** 2)))

    def junction(self, mesial: Floats) -> Floats:
        """Height of the cemento-enamel junction, higher towards the neighbours. [mm]"""
        rise = np.where(mesial > 0, self.tooth.cej_curve_mesial_mm, self.tooth.cej_curve_distal_mm)
        return rise * np.clip(2.0 * mesial / self.tooth.md_cervix_mm, -1.0, 1.0) ** 2

    def surface(self, mesial: Floats, buccal: Floats) -> Floats:
        """Height of the chewing surface: the outlines' cusps, with ridges at both ends. [mm]"""
        if self.place <= 2:
            return np.full(np.shape(mesial), self.tooth.crown_length_mm)
        teeth = np.full(np.shape(mesial), self.row)
        cones = np.asarray(self.outlines.cusps.height_mm(teeth, mesial, buccal))
        if self.place == 3:
            return cones
        off = np.abs(mesial - self.shear * buccal) - RIDGE_AT_SHARE * self.tooth.md_crown_mm
        ridge = self.tooth.crown_length_mm - RIDGE_BELOW_CUSPS_MM - 0.35 * off**2
        return -smooth_min(-cones, -ridge, 0.4)

    def topped(self, rings: Floats) -> Floats:
        """Rings sunk to the chewing surface under them, their edge rounded. [mm]"""
        if self.place <= 2:
            return rings
        sunk = rings.copy()
        surface = self.surface(rings[..., 0], rings[..., 1])
        sunk[..., 2] = smooth_min(rings[..., 2], surface, self.roundness_mm)
        return sunk

    def pressed(self, rings: Floats) -> Floats:
        """Crown points pressed behind their contact facets, as the outlines' flanks are. [mm]"""
        placed = self.placed(rings)
        for plane in self.outlines.planes_mouth[self.row]:
            over = np.maximum(placed @ plane[:3] - plane[3], 0.0)
            over[rings[..., 2] < 0.25 * self.tooth.crown_length_mm] = 0.0
            placed -= over[..., None] * plane[:3]
        return self.unplaced(placed)

    def placed(self, rings: Floats) -> Floats:
        """From the tooth's own axes to the mouth frame, jaws closed."""
        axes = self.outlines.axes_mouth[self.row]
        return np.asarray(rings @ axes + self.outlines.origins_mouth[self.row])

    def unplaced(self, points_mouth: Floats) -> Floats:
        """From the mouth frame to the tooth's own axes."""
        axes = self.outlines.axes_mouth[self.row]
        return np.asarray((points_mouth - self.outlines.origins_mouth[self.row]) @ axes.T)


def tooth_rings(outlines: Outlines, codes: tuple[int, ...]) -> tuple[ToothRings, ...]:
    """Rings of some of the teeth present, roots in full length."""
    mouth = outlines.mouth
    chain = mouth.chain(upper=True) + mouth.chain(upper=False)
    facets = np.concatenate([crown_facets_mm(mouth, mouth.chain(upper=up)) for up in (True, False)])
    own = [outlines.row[code] for code in codes]
    sections = crown_sections(
        codes,
        [mouth.teeth[code] for code in codes],
        facets[[chain.index(code) for code in codes]],
        contact_mm=outlines.sections.contact_mm[own],
    )
    whole = _rows_as_outlines(sections, own, len(outlines.codes))
    return tuple(
        ToothRings(code, row, mouth.teeth[code], whole, outlines)
        for code, row in zip(codes, own, strict=True)
    )


def _rows_as_outlines(sections: CrownSections, own: list[int], count: int) -> CrownSections:
    """The sections with rows as in the outlines' tables; rows of other teeth repeat the first."""
    place = np.zeros(count, dtype=int)
    place[own] = np.arange(len(own))
    return sections.take(place.tolist())


def outward(rings: Floats) -> Floats:
    """Unit outward normals of closed level rings (K, M, 2)."""
    along = np.roll(rings, -1, axis=1) - np.roll(rings, 1, axis=1)
    normal = np.stack([along[..., 1], -along[..., 0]], axis=-1)
    return np.asarray(normal / np.maximum(np.linalg.norm(normal, axis=-1), 1e-9)[..., None])


def smooth_min(a: Floats, b: Floats, round_mm: float) -> Floats:
    """The smaller of two, with the corner between them rounded over so many mm."""
    near = np.maximum(1.0 - np.abs(a - b) / round_mm, 0.0)
    return np.asarray(np.minimum(a, b) - 0.25 * round_mm * near**2)


def smooth_step(share: Floats) -> Floats:
    """0 below 0, 1 above 1, smooth between."""
    t = np.clip(share, 0.0, 1.0)
    return np.asarray(t * t * (3.0 - 2.0 * t))


__all__ = ["AROUND", "ToothRings", "outward", "smooth_min", "smooth_step", "tooth_rings"]

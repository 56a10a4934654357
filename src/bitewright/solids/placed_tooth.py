"""One tooth of a mouth with what shapes it: its sections in full length, cusps, facets, apices.

All in the tooth's own axes: mesial, buccal, occlusal; zero at the buccal cemento-enamel junction.
[mm]
"""

from dataclasses import asdict, dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from bitewright.mouth.arches import crown_facets_mm
from bitewright.mouth.crown_sections import CrownSections, crown_sections
from bitewright.mouth.flanks import NO_FACET_MM
from bitewright.mouth.mouth import Tooth
from bitewright.mouth.outlines import Outlines
from bitewright.mouth.tooth_forms import is_upper, tooth_form

Floats = NDArray[np.float64]

GOLDEN_SHARE = 0.6180339887
"""Multiples of the golden ratio's share leave remainders that follow no pattern (Weyl 1916, from
memory): a tooth's own chances are made of them."""

CHANCE_APART = 0.37
"""Added to the number of a chance, so that the first is no multiple of nothing."""

KIND_APART_MM = 7.0
"""Teeth of another place or arch are uneven in other places, this far apart."""

VARIETY_MM = 60.0
"""Teeth of other sizes are uneven in places up to this far apart."""

VARIETY_PER_MM = 10.0
"""These places go round once for each tenth of a millimetre, so that hundredths count."""

WIDTH_COUNTS = 3.0
"""A crown's width counts so many times as much there as its root's length."""

CONTACT_STEP_MM = 0.02
"""To what heights of contact are rounded in the tooth's own axes.

A tooth turned moves them and the facets' planes by ten-thousandths of a millimetre all along the
row; rounded, teeth further on are the very same as before.
"""

NORMAL_STEP = 2.5e-4
"""To what the directions of facets' planes are rounded."""

OFFSET_STEP_MM = 1e-3
"""To what the distances of facets' planes are rounded: inward, by 0.004 mm at most."""

LEAST_WIDER = 0.25
"""Beyond a crown whose flanks turn far towards one another its sections would end in a point."""

STANCE = {"tip_deg", "torque_deg", "rotation_deg", "out_of_line_mm"}
"""Fields of a tooth that say where it stands."""

BONE = {"crest_mesial_mm", "crest_distal_mm", "defect_mesial_mm", "defect_distal_mm"}
"""Fields of a tooth that say how much bone is left round it."""


@dataclass(frozen=True, slots=False, eq=False)
class PlacedTooth:
    """One tooth; ``row`` is its row in the sections and in the outlines' tables.

    ``facets_mm`` are the widths of its mesial and distal facet.
    """

    code: int
    row: int
    tooth: Tooth
    sections: CrownSections
    outlines: Outlines
    facets_mm: tuple[float, float]

    def hangs_on(self) -> dict[str, object]:
        """Everything that shapes its surfaces in its own axes, and nothing else."""
        own = asdict(self.tooth)
        for field in STANCE | BONE:
            del own[field]
        return {
            "kind": self.kind,
            "tooth": own,
            "facets": self.facets_mm,
            "contact": self.sections.contact_mm[self.row].tolist(),
            "planes": self.planes_tooth.tolist(),
            "age": self.outlines.mouth.age_years,
        }

    @cached_property
    def planes_tooth(self) -> Floats:
        """Facet planes (2, 4), mesial and distal: outward normal and offset in its own axes. [mm]

        Rounded, so that neighbours far away change nothing.
        """
        planes = self.outlines.planes_mouth[self.row]
        normals = planes[:, :3] @ self.outlines.axes_mouth[self.row].T
        offsets = planes[:, 3] - planes[:, :3] @ self.outlines.origins_mouth[self.row]
        rounded = _to_steps(normals, NORMAL_STEP)
        inward = offsets * (normals * rounded).sum(axis=1) - OFFSET_STEP_MM
        offsets = OFFSET_STEP_MM * np.floor(inward / OFFSET_STEP_MM)
        is_cut = planes[:, 3] < NO_FACET_MM
        return np.where(
            is_cut[:, None],
            np.column_stack([rounded, offsets]),
            [0.0, 0.0, 0.0, NO_FACET_MM],
        )

    @property
    def place(self) -> int:
        """Place from the midline, 1 to 8."""
        return self.code % 10

    @property
    def kind(self) -> int:
        """A number for its place and arch, the same on both sides."""
        return self.place + (10 if self.is_upper else 0)

    @property
    def variety_mm(self) -> float:
        """Where its own unevenness is taken from, by kind and by its own sizes. [mm]"""
        own = self.tooth.root_length_mm + self.tooth.md_crown_mm * WIDTH_COUNTS
        return KIND_APART_MM * self.kind + float(VARIETY_MM * (VARIETY_PER_MM * own % 1.0))

    def chance(self, number: int) -> float:
        """A number from 0 to 1 that is this tooth's own; each ``number`` gives another.

        Our model: what whole numbers leave of a multiple of the golden ratio's share.
        """
        return float((GOLDEN_SHARE * self.variety_mm * (number + CHANCE_APART)) % 1.0)

    def between(self, limits: tuple[float, float], number: int) -> float:
        """A value between limits that is this tooth's own; each ``number`` gives another."""
        return limits[0] + (limits[1] - limits[0]) * self.chance(number)

    @property
    def is_molar(self) -> bool:
        """Whether the root branches."""
        return self.place >= 6

    @property
    def is_upper(self) -> bool:
        """Whether the tooth stands in the upper jaw."""
        return is_upper(self.code)

    @property
    def shear(self) -> float:
        """Mesial shift per mm towards the cheek."""
        return float(self.sections.shear[self.row])

    def wider(self, across: Floats) -> Floats:
        """How many times as wide sections are at distances from their middle (any shape). [mm]"""
        wider = 1.0 + float(self.sections.taper[self.row]) * across
        return np.asarray(np.maximum(wider, LEAST_WIDER))

    def apices(self) -> tuple[Floats, ...]:
        """Root ends, (2,) mesial and buccal each; the same as the outlines' apex points. [mm]"""
        scale = np.array([self.tooth.md_cervix_mm, self.tooth.bl_cervix_mm])
        return tuple(scale * apex for apex in tooth_form(self.code).apices.values())

    def junction(self, mesial: Floats) -> Floats:
        """Height of the cemento-enamel junction above its buccal point, at places (any shape). [mm]

        Our model: it rises with the square of the way to the neighbours. ``mesial``: in the tooth's
        own axes. [mm]
        """
        rise = np.where(mesial > 0, self.tooth.cej_curve_mesial_mm, self.tooth.cej_curve_distal_mm)
        return rise * np.clip(2.0 * mesial / self.tooth.md_cervix_mm, -1.0, 1.0) ** 2


def placed_teeth(outlines: Outlines, codes: tuple[int, ...]) -> tuple[PlacedTooth, ...]:
    """Some of the teeth present, their sections down to the apex.

    Parameters
    ----------
    outlines : Outlines
    codes : tuple of int
        Teeth by their ISO 3950 numbers.
    """
    mouth = outlines.mouth
    chain = mouth.chain(upper=True) + mouth.chain(upper=False)
    facets = np.concatenate([crown_facets_mm(mouth, mouth.chain(upper=up)) for up in (True, False)])
    own = [outlines.row[code] for code in codes]
    widths = facets[[chain.index(code) for code in codes]]
    sections = crown_sections(
        codes,
        [mouth.teeth[code] for code in codes],
        widths,
        contact_mm=_to_steps(outlines.sections.contact_mm[own], CONTACT_STEP_MM),
    )
    whole = _rows_as_outlines(sections, own, len(outlines.codes))
    return tuple(
        PlacedTooth(code, row, mouth.teeth[code], whole, outlines, tuple(width.tolist()))
        for code, row, width in zip(codes, own, widths, strict=True)
    )


def _to_steps(value: Floats, step: float) -> Floats:
    """Rounded to multiples of a step; never to a negative nought."""
    return np.asarray(np.round(value / step) * step + 0.0)


def _rows_as_outlines(sections: CrownSections, own: list[int], count: int) -> CrownSections:
    """The sections with rows as in the outlines' tables; rows of other teeth repeat the first."""
    place = np.zeros(count, dtype=int)
    place[own] = np.arange(len(own))
    return sections.take(place.tolist())


__all__ = ["GOLDEN_SHARE", "PlacedTooth", "placed_teeth"]

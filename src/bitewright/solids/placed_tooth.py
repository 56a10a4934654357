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

FLUTE_SHARE = {4: 0.18, 5: 0.12}
"""Depth of the groove along the proximal side of a root, by place; else 0.08. Our choice."""

VARIETY_MM, VARIETY_PER_MM = 60.0, 10.0
"""Teeth whose sizes differ by hundredths of a millimetre are uneven in other places."""

FLUTE_FROM_MM = (-1.8, -5.0)
"""The groove begins and is full here: crest points stay on the sections' own width. Our choice."""


CONTACT_STEP_MM = 0.02
NORMAL_STEP = 2.5e-4
OFFSET_STEP_MM = 1e-3
"""To what the heights of contact and the facets' planes are rounded in the tooth's own axes.

A tooth turned moves planes by ten-thousandths of a millimetre all along the row; rounded, teeth
further on are the very same as before. Planes are rounded inward, by 0.004 mm at most.
"""

STANCE = {"tip_deg", "torque_deg", "rotation_deg", "out_of_line_mm"}
BONE = {"crest_mesial_mm", "crest_distal_mm", "defect_mesial_mm", "defect_distal_mm"}
"""Fields of a tooth that say where it stands, and how much bone is left round it."""


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
        """Facet planes (2, 4) in its own axes, outward normal and offset, rounded. [mm]"""
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
        own = self.tooth.root_length_mm + self.tooth.md_crown_mm * 3.0
        return 7.0 * self.kind + float(VARIETY_MM * (VARIETY_PER_MM * own % 1.0))

    def chance(self, number: int) -> float:
        """A number from 0 to 1 that is this tooth's own."""
        return float((0.6180339887 * self.variety_mm * (number + 0.37)) % 1.0)

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

    def apices(self) -> tuple[Floats, ...]:
        """Root ends, (2,) mesial and buccal each; the same as the outlines' apex points. [mm]"""
        scale = np.array([self.tooth.md_cervix_mm, self.tooth.bl_cervix_mm])
        return tuple(scale * apex for apex in tooth_form(self.code).apices.values())

    def junction(self, mesial: Floats) -> Floats:
        """Height of the cemento-enamel junction, higher towards the neighbours. [mm]"""
        rise = np.where(mesial > 0, self.tooth.cej_curve_mesial_mm, self.tooth.cej_curve_distal_mm)
        return rise * np.clip(2.0 * mesial / self.tooth.md_cervix_mm, -1.0, 1.0) ** 2


def placed_teeth(outlines: Outlines, codes: tuple[int, ...]) -> tuple[PlacedTooth, ...]:
    """Some of the teeth present, their sections down to the apex."""
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


__all__ = ["FLUTE_FROM_MM", "FLUTE_SHARE", "PlacedTooth", "placed_teeth"]

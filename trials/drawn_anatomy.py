"""What of a drawn mouth no mouth has: teeth that lean too far, cusps beside their crowns and so on.

A fault is told by what it is of, where, and how much; limits are wide, so that odd mouths pass and
impossible ones do not. Every limit without a source is our choice.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from bitewright.mouth.crown_sections import CrownSections
from bitewright.mouth.mouth import Mouth
from bitewright.mouth.outlines import Outlines, build_outlines
from bitewright.mouth.tooth_forms import is_right, tooth_form

Floats = NDArray[np.float64]

LEAN_DEG = 30.0
"""From the kind's mean, mesially or to cheek or tongue."""

TURN_DEG = 60.0
CUSP_INSIDE_MM = 0.2
"""A cusp's tip seen from above, inside its crown's outline at the height of its contacts."""

OVERJET_MM, OVERBITE_MM = (-2.0, 10.0), (-4.0, 9.0)
"""Upper incisors before and over the lower ones: Proffit et al. 1998, from memory, beyond which
fewer than 1 in 100 people stand."""

BESIDE_MM = (-5.0, 10.0)
"""How far an upper premolar's or molar's first cheek cusp stands outside the lower one's; more or
less is a whole tooth beside the other arch."""

ALONG = 0.5
"""Cosine between a tooth's way to its neighbour and their mesial axes: less, and one stands beside
the other."""

GAP_MM = (-0.02, 0.52)
ROOTS_APART_MM = 1.0
"""Between the middles of two teeth's roots: less, and they lie in one another."""

NECK_STEP_MM = 3.6
"""Between the necks of two neighbours, in height, where they face each other."""

_ROUND = np.linspace(0.0, 2.0 * np.pi, 181)
_DOWN = np.linspace(0.0, 1.0, 12)[:, None]


@dataclass(frozen=True, slots=True, kw_only=True)
class AnatomyFault:
    """One thing that no mouth has: what it is, at which teeth, and how much. [mm, degrees]"""

    what: str
    where: str
    amount: float

    def __str__(self) -> str:
        """As a line of a report."""
        return f"{self.what} {self.where}: {self.amount:.2f}"


def anatomy_faults(mouth: Mouth) -> list[AnatomyFault]:
    """Everything of a mouth that no mouth has."""
    outlines = build_outlines(mouth)
    return [
        *_stances(mouth),
        *_cusps(outlines),
        *_neighbours(outlines),
        *_jaws(outlines),
    ]


def least_inside_mm(outlines: Outlines) -> dict[str, float]:
    """How far each cusp's tip stands inside its crown's outline seen from above, by name. [mm]"""
    found = {}
    for row, code in enumerate(outlines.codes):
        rim = outline_from_above(outlines.sections, row)
        for name, tip in zip(
            outlines.cusps.names[row], outlines.cusps.tips_tooth[row], strict=False
        ):
            found[f"{code}.{name}"] = _inside_mm(tip[:2], rim)
    return found


def outline_from_above(sections: CrownSections, row: int) -> Floats:
    """A crown's section at the height of its contacts, (K, 2): mesial, buccal. [mm]"""
    height = np.array([sections.contact_mm[row].mean()])
    middle, half, middle_out, half_out, power = sections.at(np.array([row]), height)[0]
    sine, cosine = np.sin(_ROUND), np.cos(_ROUND)
    out = half_out * np.sign(sine) * np.abs(sine) ** (2.0 / power)
    along = half * np.sign(cosine) * np.abs(cosine) ** (2.0 / power)
    along *= 1.0 + sections.taper[row] * out
    out += middle_out
    return np.column_stack([middle + along + sections.shear[row] * out, out])


def _inside_mm(place: Floats, rim: Floats) -> float:
    """How far a place (2,) lies inside a closed line (K, 2); negative outside. [mm]"""
    start, step = rim[:-1], np.diff(rim, axis=0)
    long = np.maximum((step**2).sum(axis=1), 1e-12)
    share = np.clip(((place - start) * step).sum(axis=1) / long, 0.0, 1.0)
    away = float(np.hypot(*(start + share[:, None] * step - place).T).min())
    # Wound the same way round everywhere, a convex line has its inside to the left.
    left = step[:, 0] * (place - start)[:, 1] - step[:, 1] * (place - start)[:, 0]
    return away if (left > 0.0).all() else -away


def _stances(mouth: Mouth) -> Iterator[AnatomyFault]:
    for code, tooth in mouth.teeth.items():
        usual = tooth_form(code)
        for what, amount, most in (
            ("tips", tooth.tip_deg - usual.tip_deg, LEAN_DEG),
            ("leans to cheek or tongue", tooth.torque_deg - usual.torque_deg, LEAN_DEG),
            ("turned", tooth.rotation_deg, TURN_DEG),
        ):
            if tooth.present and abs(amount) > most + 1e-9:
                yield AnatomyFault(what=what, where=str(code), amount=amount)


def _cusps(outlines: Outlines) -> Iterator[AnatomyFault]:
    for name, inside in least_inside_mm(outlines).items():
        if inside < CUSP_INSIDE_MM:
            yield AnatomyFault(what="cusp inside its crown by", where=name, amount=inside)


def _neighbours(outlines: Outlines) -> Iterator[AnatomyFault]:
    for site in outlines.sites:
        if not GAP_MM[0] <= site.gap_mm <= GAP_MM[1]:
            yield AnatomyFault(what="gap", where=site.name, amount=site.gap_mm)
    for upper in (True, False):
        chain = [code for code in outlines.mouth.chain(upper=upper) if code in outlines.row]
        for pair in pairwise(chain):
            where = f"{pair[0]} {pair[1]}"
            rows = [outlines.row[code] for code in pair]
            way = outlines.crown_middle_mouth(pair[1]) - outlines.crown_middle_mouth(pair[0])
            along = sum(
                (1.0 if is_right(code) else -1.0) * outlines.axes_mouth[row, 0]
                for code, row in zip(pair, rows, strict=True)
            )
            cosine = float(way @ along / np.linalg.norm(way) / np.linalg.norm(along))
            if cosine < ALONG:
                yield AnatomyFault(what="out of order", where=where, amount=cosine)
            necks = [
                outlines.points_mouth[f"{code}.{side}.cej"][2]
                for code, side in zip(pair, facing_sides(*pair), strict=True)
            ]
            step = abs(float(necks[0] - necks[1]))
            if step > NECK_STEP_MM:
                yield AnatomyFault(what="necks apart in height", where=where, amount=step)
            apart = _roots_apart_mm(outlines, *pair)
            if apart < ROOTS_APART_MM:
                yield AnatomyFault(what="roots apart by", where=where, amount=apart)


def facing_sides(right: int, left: int) -> tuple[str, str]:
    """Which sides two neighbours, the one to the patient's right first, turn to each other."""
    return "mesial" if is_right(right) else "distal", "distal" if is_right(left) else "mesial"


def _roots_apart_mm(outlines: Outlines, one: int, other: int) -> float:
    """Least distance of two teeth's root middles, from neck to apex. [mm]"""
    lines = [
        [
            outlines.origins_mouth[outlines.row[code]] * (1.0 - _DOWN)
            + outlines.points_mouth[f"{code}.{name}.apex"] * _DOWN
            for name in tooth_form(code).apices
        ]
        for code in (one, other)
    ]
    return min(
        float(np.linalg.norm(first[:, None] - second, axis=-1).min())
        for first in lines[0]
        for second in lines[1]
    )


def _jaws(outlines: Outlines) -> Iterator[AnatomyFault]:
    points = outlines.points_mouth
    front = [f"{code}.edge.cusp" for code in (11, 21, 31, 41)]
    if all(name in points for name in front):
        edges = np.array([points[name] for name in front])
        apart = edges[2:].mean(axis=0) - edges[:2].mean(axis=0)
        for what, amount, (low, high) in (
            ("overjet", float(apart[1]), OVERJET_MM),
            ("overbite", float(apart[2]), OVERBITE_MM),
        ):
            if not low - 1e-9 <= amount <= high + 1e-9:
                yield AnatomyFault(what=what, where="incisors", amount=amount)
    for upper, lower in ((1, 4), (2, 3)):
        for place in range(4, 8):
            names = [
                f"{10 * quadrant + place}.{'buccal' if place < 6 else 'mesiobuccal'}.cusp"
                for quadrant in (upper, lower)
            ]
            if not all(name in points for name in names):
                continue
            beside = float(points[names[0]][0] - points[names[1]][0]) * (
                -1.0 if upper == 1 else 1.0
            )
            if not BESIDE_MM[0] <= beside <= BESIDE_MM[1]:
                where = f"{10 * upper + place} {10 * lower + place}"
                yield AnatomyFault(
                    what="cheek cusps beside one another by", where=where, amount=beside
                )


__all__ = [
    "AnatomyFault",
    "anatomy_faults",
    "facing_sides",
    "least_inside_mm",
    "outline_from_above",
]

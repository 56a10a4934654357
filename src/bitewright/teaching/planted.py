"""Faults that exercises plant: how far off, what a film must show of them, what is like them."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from bitewright.explanation.correction import CauseName
from bitewright.teaching.fault_names import PlantedFault
from bitewright.teaching.slips import HandSlip


@dataclass(frozen=True, slots=True, kw_only=True)
class Planting:
    """How a fault is planted.

    Parameters
    ----------
    part : str
        Field of `HandSlip`.
    least, most : float
        How far off; the sign is the fault's. [deg or mm]
    look_for : str
        What to look at before the next exposure: the fault's name in the table of checklists.
    """

    part: str
    least: float
    most: float
    look_for: str


_F = PlantedFault
PLANTINGS: Mapping[PlantedFault, Planting] = MappingProxyType(
    {
        fault: Planting(part=part, least=least, most=most, look_for=look_for)
        for fault, part, least, most, look_for in (
            (_F.TUBE_TOO_FAR_FORWARD, "swing_deg", 8.0, 15.0, "horizontal-angle"),
            (_F.TUBE_TOO_FAR_BACK, "swing_deg", -8.0, -15.0, "horizontal-angle"),
            (_F.TURNED_TO_CANINE, "turn_deg", 8.0, 14.0, "horizontal-angle"),
            (_F.TURNED_TO_TEETH, "turn_deg", -8.0, -14.0, "horizontal-angle"),
            (_F.TUBE_TOO_HIGH, "vertical_deg", 10.0, 18.0, "vertical-angle"),
            (_F.TUBE_TOO_LOW, "vertical_deg", -10.0, -18.0, "vertical-angle"),
            (_F.RECEPTOR_TOO_FAR_FORWARD, "forward_mm", 4.0, 9.0, "receptor-placement"),
            (_F.RECEPTOR_TOO_FAR_BACK, "forward_mm", -4.0, -10.0, "receptor-placement"),
            (_F.RECEPTOR_TOO_HIGH, "height_mm", 2.5, 6.0, "off-centre"),
            (_F.RECEPTOR_TOO_LOW, "height_mm", -2.5, -6.0, "off-centre"),
            (_F.RECEPTOR_ROLLED_FRONT_DOWN, "roll_deg", 6.0, 11.0, "tilted"),
            (_F.RECEPTOR_ROLLED_FRONT_UP, "roll_deg", -6.0, -11.0, "tilted"),
            (_F.BEAM_OFF_FRONT, "tube_forward_mm", -9.0, -14.0, "cone-cut"),
            (_F.BEAM_OFF_BACK, "tube_forward_mm", 9.0, 14.0, "cone-cut"),
        )
    }
)
"""Large enough to be seen on a film, as `shows` asks; the ranges are our choice."""

TWINS: Mapping[PlantedFault, PlantedFault] = MappingProxyType(
    {
        _F.TUBE_TOO_FAR_FORWARD: _F.TURNED_TO_CANINE,
        _F.TUBE_TOO_FAR_BACK: _F.TURNED_TO_TEETH,
        _F.TURNED_TO_CANINE: _F.TUBE_TOO_FAR_FORWARD,
        _F.TURNED_TO_TEETH: _F.TUBE_TOO_FAR_BACK,
    }
)
"""What no film tells from each: both count as right."""

CONE_CUTS = (_F.BEAM_OFF_FRONT, _F.BEAM_OFF_BACK)


def accepted(fault: PlantedFault) -> frozenset[PlantedFault]:
    """Every answer that is right where a fault was planted."""
    return frozenset({fault, TWINS.get(fault, fault)})


def cause_of(fault: PlantedFault) -> CauseName | None:
    """The cause that an explanation gives for a fault, None for a cone cut and for handling."""
    told = TWINS[fault] if fault in (_F.TURNED_TO_CANINE, _F.TURNED_TO_TEETH) else fault
    return None if fault in CONE_CUTS or fault not in PLANTINGS else CauseName(told.value)


def planted_slip(fault: PlantedFault, generator: np.random.Generator) -> HandSlip:
    """A fault's slip, its size drawn evenly, to half millimetres and whole degrees."""
    of = PLANTINGS[fault]
    step = 0.5 if of.part.endswith("_mm") else 1.0
    drawn = of.least + (of.most - of.least) * generator.random()
    return HandSlip(**{of.part: step * round(drawn / step)})


__all__ = [
    "CONE_CUTS",
    "PLANTINGS",
    "TWINS",
    "Planting",
    "accepted",
    "cause_of",
    "planted_slip",
]

"""Faults of receptor and handling that exercises plant: a film aimed well and spoilt otherwise."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from bitewright.teaching.fault_names import PlantedFault
from bitewright.teaching.planted import PLANTINGS


@dataclass(frozen=True, slots=True, kw_only=True)
class HandledPlanting:
    """How a fault of handling is planted.

    Parameters
    ----------
    film_fault : str
        Name of what it does to a film, as `predict --fault` takes it.
    least, most : float
        How large, against its usual size.
    look_for : str
        As `Planting` has it.
    on_film : float
        How often the receptor is a film and not a plate, 0 to 1: the display of a plate takes out
        how dark its picture is. Our choice.
    """

    film_fault: str
    least: float
    most: float
    look_for: str
    on_film: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Handled:
    """What was done to one film: ``film_fault`` and size as `HandledPlanting` has them.

    ``on_film``: whether the receptor was a film, and not a plate.
    """

    film_fault: str
    size: float
    on_film: bool


_F = PlantedFault
HANDLED: Mapping[PlantedFault, HandledPlanting] = MappingProxyType(
    {
        fault: HandledPlanting(
            film_fault=name, least=least, most=most, on_film=on_film, look_for=look_for
        )
        for fault, name, least, most, on_film, look_for in (
            (_F.RECEPTOR_REVERSED, "reversed", 1.0, 1.6, 1.0, "receptor-reversed"),
            (_F.RECEPTOR_BENT, "bent", 1.0, 1.6, 0.5, "receptor-bent"),
            (_F.MOVED, "movement", 1.2, 2.2, 0.5, "movement"),
            (_F.EXPOSED_TWICE, "double-exposure", 0.6, 1.6, 0.5, "double-exposed"),
            (_F.UNDER_EXPOSED, "under-exposure", 0.8, 1.4, 0.5, "under-exposed"),
            (_F.OVER_EXPOSED, "over-exposure", 0.6, 1.2, 1.0, "over-exposed"),
            (_F.SCRATCHED, "scratch", 1.8, 3.0, 0.0, "artefact"),
            (_F.LIT, "light-leak", 0.9, 1.2, 0.0, "processing"),
        )
    }
)
"""Large enough to be seen at once; the ranges are our choice."""


def handled(fault: PlantedFault, generator: np.random.Generator) -> Handled:
    """What was done to a film, its size drawn evenly, to tenths."""
    of = HANDLED[fault]
    size = round(float(generator.uniform(of.least, of.most)), 1)
    on_film = bool(generator.random() < of.on_film)
    return Handled(film_fault=of.film_fault, size=size, on_film=on_film)


def look_for(fault: PlantedFault) -> str:
    """What to look at before the next exposure: the fault's name in the table of checklists."""
    return HANDLED[fault].look_for if fault in HANDLED else PLANTINGS[fault].look_for


__all__ = ["HANDLED", "Handled", "HandledPlanting", "handled", "look_for"]

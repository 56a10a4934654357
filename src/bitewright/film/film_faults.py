"""Faults of receptor and handling, to order: what each does to a film, for teaching and tests.

What each fault looks like is common practice, no source: `beam_faults` and `surface_faults` have
what they do to a picture.
"""

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from bitewright.equipment.receptors import ReceptorKind
from bitewright.errors import BitewrightError, quoted
from bitewright.exposing.clear_edge import ClearEdge
from bitewright.exposing.exposure import Station
from bitewright.film.beam_faults import (
    BEAM,
    cone_cut_rectangular,
    cone_cut_round,
    exposed_twice,
    moved_while_exposed,
    round_edge,
    straight_edge,
)
from bitewright.film.plate_dust import dusty
from bitewright.film.surface_faults import (
    WHITE,
    bent_corner,
    bitten,
    exposed_from_behind,
    light_leaked,
    scratched,
    with_worn_edges,
)
from bitewright.nearest_name import meant

Image = NDArray[np.float32]
LEAST_SIZE = 0.1
"""A fault may be this small, against its usual size. Our choice."""

MOST_SIZE = 3.0
"""It may be this large. Our choice."""


class FaultName(StrEnum):
    """A fault's name in the trade."""

    CONE_CUT_ROUND = "cone-cut-round"
    CONE_CUT_RECTANGULAR = "cone-cut-rectangular"
    MOVEMENT = "movement"
    DOUBLE_EXPOSURE = "double-exposure"
    UNDER_EXPOSURE = "under-exposure"
    OVER_EXPOSURE = "over-exposure"
    BENT = "bent"
    REVERSED = "reversed"
    SCRATCH = "scratch"
    DUST = "dust"
    WORN_EDGES = "worn-edges"
    BITE_MARKS = "bite-marks"
    LIGHT_LEAK = "light-leak"


class UnknownFaultError(BitewrightError):
    """A fault was named that there is not, or its size is none."""

    def __init__(self, given: str) -> None:
        self.given = given
        super().__init__(
            f"The fault {quoted(given)} is not known: give one of {', '.join(FaultName)}, and a "
            f"size from {LEAST_SIZE:g} to {MOST_SIZE:g} after an equals sign if it should be "
            "smaller or larger than usual, such as movement=2."
            f"{meant(given.split('=', maxsplit=1)[0], FaultName)}"
        )


class FaultNotPossibleError(BitewrightError):
    """A fault cannot happen to this kind of receptor."""

    def __init__(self, name: FaultName, kind: ReceptorKind) -> None:
        self.name = name
        self.kind = kind
        can = " or ".join(each.value for each in ReceptorKind if each in POSSIBLE[name])
        super().__init__(
            f"A {kind.value} cannot have the fault {name.value!r}, a {can} can: choose another "
            "receptor or another fault."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class FilmFault:
    """One fault, ``size`` times as large as usual."""

    name: FaultName
    size: float = 1.0


def fault_from_text(text: str) -> FilmFault:
    """A fault as a person writes it: "movement" or "movement=2".

    Raises
    ------
    UnknownFaultError
    """
    name, _, size = text.partition("=")
    try:
        fault = FilmFault(name=FaultName(name.strip()), size=float(size) if size else 1.0)
    except ValueError as error:
        raise UnknownFaultError(text) from error
    if not LEAST_SIZE <= fault.size <= MOST_SIZE:
        raise UnknownFaultError(text)
    return fault


ANY = frozenset(ReceptorKind)
SOFT = frozenset({ReceptorKind.FILM, ReceptorKind.PLATE})
POSSIBLE: dict[FaultName, frozenset[ReceptorKind]] = dict.fromkeys(FaultName, ANY) | dict.fromkeys(
    (
        FaultName.DOUBLE_EXPOSURE,
        FaultName.BENT,
        FaultName.REVERSED,
        FaultName.SCRATCH,
        FaultName.DUST,
        FaultName.BITE_MARKS,
        FaultName.LIGHT_LEAK,
    ),
    SOFT,
)
POSSIBLE[FaultName.WORN_EDGES] = frozenset({ReceptorKind.PLATE})


def checked_faults(faults: tuple[FilmFault, ...], kind: ReceptorKind) -> tuple[FilmFault, ...]:
    """These faults, or the error that says which the kind of receptor cannot have.

    Raises
    ------
    FaultNotPossibleError
    """
    for fault in faults:
        if kind not in POSSIBLE[fault.name]:
            raise FaultNotPossibleError(fault.name, kind)
    return faults


def exposure_factor(faults: tuple[FilmFault, ...]) -> float:
    """What wrong exposures among the faults multiply the dose by."""
    factor = 1.0
    for fault in faults:
        if fault.name is FaultName.UNDER_EXPOSURE:
            factor *= BEAM.exposure.under_times**fault.size
        if fault.name is FaultName.OVER_EXPOSURE:
            factor *= BEAM.exposure.over_times**fault.size
    return factor


def with_beam_faults(signal: Image, pixel_mm: float, faults: tuple[FilmFault, ...]) -> Image:
    """The primary signal as cut off, moved or exposed twice, same shape.

    Parameters
    ----------
    signal : (rows, columns) float32 array
        Share of the open beam's signal.
    pixel_mm : float
        [mm]
    faults : tuple of FilmFault
        Others than these are left for later.
    """
    for fault in faults:
        if fault.name in BEAM_FAULTS:
            signal = BEAM_FAULTS[fault.name](signal, pixel_mm, fault.size)
    return signal


def clear_edge(faults: tuple[FilmFault, ...], at: Station) -> ClearEdge | None:
    """The edge of the exposed part that a cone cut among the faults leaves; None without one.

    Of two cone cuts the last counts.
    """
    edge: ClearEdge | None = None
    for fault in faults:
        if fault.name is FaultName.CONE_CUT_ROUND:
            edge = round_edge(fault.size)
        if fault.name is FaultName.CONE_CUT_RECTANGULAR:
            edge = straight_edge(fault.size, half_width_mm=at.half_width_mm)
    return edge


def with_surface_faults(
    grey: Image, pixel_mm: float, faults: tuple[FilmFault, ...], generator: np.random.Generator
) -> Image:
    """The picture of a bent, reversed, scratched, dusty, worn, bitten or fogged film or plate.

    Parameters
    ----------
    grey : (rows, columns) float32 array
        8-bit grey, as displayed.
    pixel_mm : float
        [mm]
    faults : tuple of FilmFault
    generator : numpy Generator
        Draws where scratches and the like lie.
    """
    for fault in faults:
        if fault.name in SURFACE_FAULTS:
            grey = SURFACE_FAULTS[fault.name](grey, pixel_mm, fault.size, generator)
    return np.asarray(np.clip(grey, 0.0, WHITE), dtype=np.float32)


BEAM_FAULTS: dict[FaultName, Callable[[Image, float, float], Image]] = {
    FaultName.CONE_CUT_ROUND: cone_cut_round,
    FaultName.CONE_CUT_RECTANGULAR: cone_cut_rectangular,
    FaultName.MOVEMENT: moved_while_exposed,
    FaultName.DOUBLE_EXPOSURE: exposed_twice,
}

SURFACE_FAULTS: dict[FaultName, Callable[[Image, float, float, np.random.Generator], Image]] = {
    FaultName.BENT: bent_corner,
    FaultName.REVERSED: exposed_from_behind,
    FaultName.SCRATCH: scratched,
    FaultName.DUST: dusty,
    FaultName.WORN_EDGES: with_worn_edges,
    FaultName.BITE_MARKS: bitten,
    FaultName.LIGHT_LEAK: light_leaked,
}

__all__ = [
    "FaultName",
    "FaultNotPossibleError",
    "FilmFault",
    "UnknownFaultError",
    "checked_faults",
    "clear_edge",
    "exposure_factor",
    "fault_from_text",
    "with_beam_faults",
    "with_surface_faults",
]

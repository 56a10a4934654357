"""Faults of receptor and handling, to order: what each does to a film, for teaching and tests.

Sizes and looks are our choice; what each fault looks like is common practice, no source.
"""

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from bitewright.equipment.receptors import ReceptorKind
from bitewright.errors import BitewrightError
from bitewright.film.plate_dust import dusty
from bitewright.film.plate_edges import worn_edges
from bitewright.nearest_name import meant

Image = NDArray[np.float32]
WHITE = np.float32(255.0)
MOVEMENT_STEPS = 9


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
            f"The fault {given[:40]!r} is not known: give one of {', '.join(FaultName)}, and a "
            "size from 0.1 to 3 after an equals sign if it should be smaller or larger than usual, "
            f"such as movement=2.{meant(given.split('=', maxsplit=1)[0], FaultName)}"
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
    if not 0.1 <= fault.size <= 3.0:
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
            factor *= 0.22**fault.size
        if fault.name is FaultName.OVER_EXPOSURE:
            factor *= 3.5**fault.size
    return factor


def with_beam_faults(signal: Image, pixel_mm: float, faults: tuple[FilmFault, ...]) -> Image:
    """The primary signal as cut off, moved or exposed twice.

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


# ------------------------------------------------------------------------------- the beam
def _places_mm(shape: tuple[int, ...], pixel_mm: float) -> tuple[Image, Image]:
    """How far each pixel lies right of and below the middle. [mm]"""
    v, u = (pixel_mm * (np.arange(n, dtype=np.float32) - 0.5 * (n - 1)) for n in shape)
    return u[None, :], v[:, None]


def _cone_cut_round(signal: Image, pixel_mm: float, size: float) -> Image:
    """A round field 35 mm in radius whose middle lies 24 mm off, so that a crescent is missed."""
    u, v = _places_mm(signal.shape, pixel_mm)
    inside = 35.0 - np.hypot(u + 17.0 + 7.0 * size, v - 6.0)
    return np.asarray(signal * np.clip(0.5 + inside / 0.5, 0.0, 1.0), dtype=np.float32)


def _cone_cut_rectangular(signal: Image, pixel_mm: float, size: float) -> Image:
    """A straight edge across the film, a little askew."""
    u, v = _places_mm(signal.shape, pixel_mm)
    edge = 0.5 * signal.shape[1] * pixel_mm - 6.0 * size
    inside = edge - (u * np.cos(0.06) + v * np.sin(0.06))
    return np.asarray(signal * np.clip(0.5 + inside / 0.5, 0.0, 1.0), dtype=np.float32)


def _moved(signal: Image, pixel_mm: float, size: float) -> Image:
    """Patient or tube moved by 0.8 mm, half of the time still."""
    from scipy import ndimage  # noqa: PLC0415  slow to load, and most films have no fault

    places = np.linspace(0.0, 1.0, MOVEMENT_STEPS) ** 2
    step = 0.8 * size / pixel_mm * np.array([0.35, 1.0])
    moved = [ndimage.shift(signal, place * step, order=1, mode="nearest") for place in places]
    return np.asarray(np.mean(moved, axis=0), dtype=np.float32)


def _exposed_twice(signal: Image, pixel_mm: float, size: float) -> Image:
    """The same receptor exposed again, upside down and set 5 mm further."""
    from scipy import ndimage  # noqa: PLC0415  slow to load, and most films have no fault

    other = ndimage.shift(signal[::-1, ::-1], (0.0, 5.0 * size / pixel_mm), order=1, mode="reflect")
    return np.asarray(signal + 0.9 * other, dtype=np.float32)


BEAM_FAULTS: dict[FaultName, Callable[[Image, float, float], Image]] = {
    FaultName.CONE_CUT_ROUND: _cone_cut_round,
    FaultName.CONE_CUT_RECTANGULAR: _cone_cut_rectangular,
    FaultName.MOVEMENT: _moved,
    FaultName.DOUBLE_EXPOSURE: _exposed_twice,
}


# ------------------------------------------------------------------------------- the surface
def _bent(grey: Image, pixel_mm: float, size: float, generator: np.random.Generator) -> Image:
    """A corner bent away: the picture stretched there, a dark crease across it."""
    from scipy import ndimage  # noqa: PLC0415  slow to load, and most films have no fault

    u, v = _places_mm(grey.shape, pixel_mm)
    side = 1.0 if generator.random() < 0.5 else -1.0
    corner = np.array([side * 0.5 * grey.shape[1], 0.5 * grey.shape[0]]) * pixel_mm
    towards = corner / np.linalg.norm(corner)
    away = u * towards[0] + v * towards[1] - (np.linalg.norm(corner) - 11.0 * size)
    bend = np.maximum(away, 0.0)
    pull = -0.045 * size * bend**2
    rows, columns = np.indices(grey.shape, dtype=np.float32)
    warped = ndimage.map_coordinates(
        grey,
        [rows + pull * towards[1] / pixel_mm, columns + pull * towards[0] / pixel_mm],
        order=1,
        mode="nearest",
    )
    crease = np.exp(-((away / 0.28) ** 2)) * np.float32(0.55)
    return np.asarray(warped * (1.0 - crease), dtype=np.float32)


def _reversed(grey: Image, pixel_mm: float, size: float, generator: np.random.Generator) -> Image:
    """Exposed through its back: mirrored, paler, with the pattern of the backing."""
    del generator
    u, v = _places_mm(grey.shape, pixel_mm)
    ridge = np.abs(np.mod(u, 5.0) - 2.5) + np.mod(v, 5.0)
    pattern = 0.5 + 0.5 * np.cos(2.0 * np.pi * ridge / 2.5)
    paler = 255.0 - (255.0 - grey[:, ::-1]) * (1.0 - 0.30 * min(size, 2.0))
    return np.asarray(paler + 14.0 * size * (pattern - 0.5), dtype=np.float32)


def _scratched(grey: Image, pixel_mm: float, size: float, generator: np.random.Generator) -> Image:
    """Bright fine lines that wander, press harder here and there, and taper off."""
    from scipy import ndimage  # noqa: PLC0415  slow to load, and most films have no fault

    marked = np.zeros(grey.shape, dtype=np.float32)
    for _ in range(max(round(7 * size), 1)):
        start = generator.uniform([0, 0], grey.shape)
        along = np.arange(0.0, generator.uniform(3.0, 14.0) * size, 0.5 * pixel_mm)
        wander = np.interp(along, np.arange(0.0, 30.0, 2.5), generator.normal(0.0, 0.35, 12))
        way = generator.uniform(0.0, 2.0 * np.pi) + generator.normal(0.0, 0.06) * along + wander
        pressure = np.interp(along, np.arange(0.0, 30.0, 0.6), generator.uniform(0.1, 1.0, 50))
        pressure *= np.sin(np.pi * np.linspace(0.0, 1.0, len(along))) ** 0.5
        rows = start[0] + np.cumsum(np.sin(way)) * 0.5
        columns = start[1] + np.cumsum(np.cos(way)) * 0.5
        keep = (rows >= 0) & (rows < grey.shape[0] - 1) & (columns >= 0)
        keep &= columns < grey.shape[1] - 1
        strength = generator.uniform(0.5, 1.0) ** 2
        marked[rows[keep].astype(int), columns[keep].astype(int)] = strength * pressure[keep]
    wide = ndimage.gaussian_filter(marked, 0.02 / pixel_mm + 0.35)
    share = np.clip(wide / max(float(wide.max()), 1e-6) * 1.2, 0.0, 1.0)
    return np.asarray(grey + (248.0 - grey) * share, dtype=np.float32)


def _worn(grey: Image, pixel_mm: float, size: float, generator: np.random.Generator) -> Image:
    """Bright along the edges, where a plate's coating is chipped."""
    return np.asarray(
        grey + (252.0 - grey) * worn_edges(grey.shape, pixel_mm, size, generator), dtype=np.float32
    )


def _bitten(grey: Image, pixel_mm: float, size: float, generator: np.random.Generator) -> Image:
    """Rows of dents where teeth met the receptor: bright cores, dark rims."""
    u, v = _places_mm(grey.shape, pixel_mm)
    changed = np.zeros(grey.shape, dtype=np.float32)
    for _ in range(round(6 * size)):
        at_u = generator.uniform(-0.4, 0.4) * grey.shape[1] * pixel_mm
        at_v = generator.normal(0.0, 0.8)
        distance = np.hypot((u - at_u) / 0.7, (v - at_v) / 0.35)
        changed += 70.0 * np.exp(-(distance**2)) - 45.0 * np.exp(-(((distance - 1.5) / 0.4) ** 2))
    return np.asarray(grey + changed, dtype=np.float32)


def _leaked(grey: Image, pixel_mm: float, size: float, generator: np.random.Generator) -> Image:
    """Light from one side before reading: the latent image pales there."""
    u, v = _places_mm(grey.shape, pixel_mm)
    way = generator.uniform(0.0, 2.0 * np.pi)
    across = u * np.cos(way) + v * np.sin(way)
    share = 0.85 / (1.0 + np.exp((9.0 - 7.0 * size - across) / 2.5))
    return np.asarray(grey + (225.0 - grey) * share, dtype=np.float32)


SURFACE_FAULTS: dict[FaultName, Callable[[Image, float, float, np.random.Generator], Image]] = {
    FaultName.BENT: _bent,
    FaultName.REVERSED: _reversed,
    FaultName.SCRATCH: _scratched,
    FaultName.DUST: dusty,
    FaultName.WORN_EDGES: _worn,
    FaultName.BITE_MARKS: _bitten,
    FaultName.LIGHT_LEAK: _leaked,
}

__all__ = [
    "FaultName",
    "FaultNotPossibleError",
    "FilmFault",
    "UnknownFaultError",
    "checked_faults",
    "exposure_factor",
    "fault_from_text",
    "with_beam_faults",
    "with_surface_faults",
]

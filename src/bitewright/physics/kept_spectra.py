"""Spectra of usual tubes and attenuation of usual elements, kept as tables.

The numbers of spekpy and xraydb, which a test compares with these. Those libraries take a second to
load, so they are asked only for what is not here.
"""

import csv
from collections.abc import Iterator
from functools import lru_cache
from importlib.resources import files

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

SPECTRUM_COLUMNS = (
    "kv",
    "target_angle_deg",
    "filtration_mm_al",
    "energy_kev",
    "photons_per_cm2_mas",
)


def kept_spectrum(
    kv: float, target_angle_deg: float, filtration_mm_al: float
) -> tuple[Floats, Floats] | None:
    """Energies [keV] and photons [1/(cm2 mAs)] of a tube; None if it is not in the table."""
    rows = _spectra().get((kv, target_angle_deg, filtration_mm_al))
    return None if rows is None else (rows[:, 0], rows[:, 1])


def kept_element_cm2_g(symbol: str, energies_kev: tuple[float, ...]) -> Floats | None:
    """Mass attenuation of an element at these energies; None if one is not in the table. [cm2/g]"""
    energies, columns = _elements()
    if symbol not in columns or not all(energy in energies for energy in energies_kev):
        return None
    return columns[symbol][[energies[energy] for energy in energies_kev]]


@lru_cache(maxsize=1)
def _spectra() -> dict[tuple[float, ...], Floats]:
    """Energies and photons (n, 2) by tube voltage, target angle and filtration."""
    found: dict[tuple[float, ...], list[list[float]]] = {}
    for row in _numbers("usual_spectra.csv"):
        found.setdefault(tuple(row[:3]), []).append(row[3:])
    return {tube: _unchanging(rows) for tube, rows in found.items()}


@lru_cache(maxsize=1)
def _elements() -> tuple[dict[float, int], dict[str, Floats]]:
    """The row of each energy, and each element's column."""
    rows = np.array(list(_numbers("elements.csv")))
    symbols = next(_rows("elements.csv"))[1:]
    energies = {energy: place for place, energy in enumerate(rows[:, 0].tolist())}
    return energies, dict(zip(symbols, rows[:, 1:].T, strict=True))


def _unchanging(rows: list[list[float]]) -> Floats:
    table = np.array(rows)
    table.flags.writeable = False
    return table


def _numbers(name: str) -> Iterator[list[float]]:
    rows = _rows(name)
    next(rows)
    return ([float(cell) for cell in row] for row in rows)


def _rows(name: str) -> Iterator[list[str]]:
    text = files("bitewright.physics").joinpath(f"tables/{name}").read_text("utf-8")
    return csv.reader(text.splitlines())


__all__ = ["SPECTRUM_COLUMNS", "kept_element_cm2_g", "kept_spectrum"]

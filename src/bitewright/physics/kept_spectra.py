"""Spectra of tungsten tubes, kept as tables of the numbers that SpekPy gives.

Those of usual tubes are kept as they come from it. Every other tube's is worked out from spectra
that no filter has touched, kept at whole kilovolts and a few target angles: over the logarithm of
the angle's sine by the polynomial through all of them, over the voltage in a straight line, and
behind the filter by Beer and Lambert's law. The tests compare both with SpekPy.
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


def usual_spectrum(
    kv: float, target_angle_deg: float, filtration_mm_al: float
) -> tuple[Floats, Floats] | None:
    """The spectrum of a usual tube as SpekPy gives it; None if it is not in the table.

    Parameters
    ----------
    kv, target_angle_deg, filtration_mm_al : float
        [kV, degrees, mm]

    Returns
    -------
    energies_kev, photons_per_cm2_mas : (n,) float arrays, or None
        [keV], [1/(cm2 mAs)]
    """
    rows = _usual_spectra().get((kv, target_angle_deg, filtration_mm_al))
    return None if rows is None else (rows[:, 0], rows[:, 1])


def worked_out_spectrum(
    kv: float, target_angle_deg: float, filtration_mm_al: float
) -> tuple[Floats, Floats]:
    """The spectrum of any tube of 40 to 100 kV and 5 to 45 degrees, from spectra without a filter.

    Model: the polynomial through all target angles kept (Lagrange's), straight lines over the
    voltage, and behind the filter Beer and Lambert's law.

    Parameters
    ----------
    kv, target_angle_deg, filtration_mm_al : float
        [kV, degrees, mm]

    Returns
    -------
    energies_kev, photons_per_cm2_mas : (n,) float arrays
        [keV], [1/(cm2 mAs)]
    """
    energies, aluminium_per_mm = _aluminium()
    below = int(kv)
    share = kv - below
    photons = (1.0 - share) * _unfiltered(below, target_angle_deg)
    if share > 0.0:
        photons += share * _unfiltered(below + 1, target_angle_deg)
    return energies, photons * np.exp(-aluminium_per_mm * filtration_mm_al)


def _unfiltered(kv: int, target_angle_deg: float) -> Floats:
    """Photons in each bin at a whole voltage, (n,)."""
    angles, spectra = _unfiltered_spectra()
    kept = spectra[kv]
    at = np.log(np.sin(np.deg2rad([*angles, target_angle_deg])))
    places, place = at[:-1], at[-1]
    apart = places[:, None] - places
    np.fill_diagonal(apart, 1.0)
    away = np.broadcast_to(place - places, apart.shape).copy()
    np.fill_diagonal(away, 1.0)
    weights = np.prod(away / apart, axis=1)  # Lagrange's
    photons = np.zeros(kept.shape[1])
    there = kept[0] > 0.0
    photons[there] = np.exp(weights @ np.log(kept[:, there]))
    return photons


@lru_cache(maxsize=1)
def _usual_spectra() -> dict[tuple[float, ...], Floats]:
    """Energies and photons (n, 2) by tube voltage, target angle and filtration."""
    found: dict[tuple[float, ...], list[list[float]]] = {}
    for row in _numbers("usual_spectra.csv"):
        found.setdefault(tuple(row[:3]), []).append(row[3:])
    return {tube: _unchanging(rows) for tube, rows in found.items()}


@lru_cache(maxsize=1)
def _unfiltered_spectra() -> tuple[tuple[float, ...], dict[int, Floats]]:
    """The target angles (A,), and photons (A, n) by whole voltage."""
    found: dict[int, list[list[float]]] = {}
    angles: dict[float, None] = {}
    for kv, angle, *photons in _numbers("unfiltered_spectra.csv"):
        found.setdefault(int(kv), []).append(photons)
        angles[angle] = None
    return tuple(angles), {kv: _unchanging(rows) for kv, rows in found.items()}


@lru_cache(maxsize=1)
def _aluminium() -> tuple[Floats, Floats]:
    """Energies (n,) [keV], and the tube model's own attenuation of aluminium there [1/mm]."""
    rows = _unchanging(list(_numbers("filter_aluminium.csv")))
    return rows[:, 0], rows[:, 1]


def _unchanging(rows: list[list[float]]) -> Floats:
    table = np.array(rows)
    table.flags.writeable = False
    return table


def _numbers(name: str) -> Iterator[list[float]]:
    text = files("bitewright.physics").joinpath(f"tables/{name}").read_text("utf-8")
    rows = csv.reader(text.splitlines())
    next(rows)
    return ([float(cell) for cell in row] for row in rows)


__all__ = ["SPECTRUM_COLUMNS", "usual_spectrum", "worked_out_spectrum"]

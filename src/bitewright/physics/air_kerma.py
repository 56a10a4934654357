"""Air kerma: what an ionisation chamber measures, from photon fluence."""

import tomllib
from functools import lru_cache
from importlib.resources import files

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

MICROGRAY_PER_KEV_G = 1.602176634e-7
"""1 keV/g = 1.602e-16 J / 1e-3 kg = 1.602e-13 Gy."""


def air_kerma_ugy_cm2(energies_kev: NDArray[np.float64]) -> NDArray[np.float64]:
    """Air kerma for one photon per cm2, by energy.

    Model: energy times the mass energy-absorption coefficient of dry air, by a cubic spline
    through the table in logarithms (straight lines there would be 3 % high near 50 keV). The
    energy lost to bremsstrahlung (below 0.1 % here) is neglected.

    Parameters
    ----------
    energies_kev : (n,) float array
        Photon energies, 5 to 200. [keV]

    Returns
    -------
    (n,) float array
        [uGy cm2]

    Source: Hubbell and Seltzer, NISTIR 5632, table 4.
    """
    mu_en_cm2_g = np.exp(_on_spline(*_log_air_absorption(), np.log(energies_kev)))
    return np.asarray(energies_kev * mu_en_cm2_g * MICROGRAY_PER_KEV_G, dtype=np.float64)


@lru_cache(maxsize=1)
def _log_air_absorption() -> tuple[Floats, Floats, Floats]:
    """The spline's places, values and second derivatives there."""
    text = files("bitewright.physics").joinpath("tables/air_absorption.toml").read_text("utf-8")
    table = tomllib.loads(text)
    x, y = np.log(table["energies_kev"]), np.log(table["mu_en_over_rho_cm2_g"])
    return x, y, _bends(x, y)


def _bends(x: Floats, y: Floats) -> Floats:
    """Second derivatives of the cubic spline without a knot at its second and last but one place.

    As scipy's `CubicSpline`, which takes a fifth of a second to load.
    """
    steps, slopes = np.diff(x), np.diff(y) / np.diff(x)
    matrix = np.zeros((len(x), len(x)))
    matrix[0, :3] = steps[1], -(steps[0] + steps[1]), steps[0]
    matrix[-1, -3:] = steps[-1], -(steps[-2] + steps[-1]), steps[-2]
    for k in range(1, len(x) - 1):
        matrix[k, k - 1 : k + 2] = steps[k - 1], 2.0 * (steps[k - 1] + steps[k]), steps[k]
    return np.asarray(np.linalg.solve(matrix, np.pad(6.0 * np.diff(slopes), 1)))


def _on_spline(x: Floats, y: Floats, bends: Floats, at: Floats) -> Floats:
    k = np.clip(np.searchsorted(x, at, side="right") - 1, 0, len(x) - 2)
    step, before, after = x[k + 1] - x[k], at - x[k], x[k + 1] - at
    straight = (y[k] * after + y[k + 1] * before) / step
    bent = bends[k] * after * (after**2 - step**2) + bends[k + 1] * before * (before**2 - step**2)
    return np.asarray(straight + bent / (6.0 * step))


__all__ = ["air_kerma_ugy_cm2"]

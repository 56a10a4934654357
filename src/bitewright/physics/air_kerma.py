"""Air kerma: what an ionisation chamber measures, from photon fluence."""

import tomllib
from functools import lru_cache
from importlib.resources import files

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import CubicSpline

MICROGRAY_PER_KEV_G = 1.602176634e-7  # 1 keV/g = 1.602e-16 J / 1e-3 kg = 1.602e-13 Gy


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
    mu_en_cm2_g = np.exp(_log_air_absorption()(np.log(energies_kev)))
    return np.asarray(energies_kev * mu_en_cm2_g * MICROGRAY_PER_KEV_G, dtype=np.float64)


@lru_cache(maxsize=1)
def _log_air_absorption() -> CubicSpline:
    text = files("bitewright.physics").joinpath("tables/air_absorption.toml").read_text("utf-8")
    table = tomllib.loads(text)
    return CubicSpline(np.log(table["energies_kev"]), np.log(table["mu_en_over_rho_cm2_g"]))


__all__ = ["air_kerma_ugy_cm2"]

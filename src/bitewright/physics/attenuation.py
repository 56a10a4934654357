"""How strongly a material attenuates photons of a given energy."""

from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bitewright.errors import BitewrightError
from bitewright.physics.elements import element_cm2_g
from bitewright.physics.materials import Material

LOWEST_ENERGY_KEV = 1.0
"""Attenuation is tabulated from here."""

HIGHEST_ENERGY_KEV = 200.0
"""It is tabulated to here."""


class EnergyOutOfRangeError(BitewrightError):
    """Attenuation was asked for at an energy outside dental and calibration beams."""

    def __init__(self, lowest_kev: float, highest_kev: float) -> None:
        self.lowest_kev = lowest_kev
        self.highest_kev = highest_kev
        super().__init__(
            f"Photon energies from {lowest_kev:g} to {highest_kev:g} keV were given; attenuation "
            f"is tabulated here from {LOWEST_ENERGY_KEV:g} to {HIGHEST_ENERGY_KEV:g} keV. "
            "Give energies in keV (not eV or kV) within that range."
        )


def mu_per_cm(material: Material, energies_kev: ArrayLike) -> NDArray[np.float64]:
    """Linear attenuation coefficient, coherent scatter included.

    Model: density times `mass_attenuation_cm2_g`.

    Parameters
    ----------
    material : Material
    energies_kev : (n,) or scalar float
        Photon energies. [keV]

    Returns
    -------
    (n,) float array
        [1/cm]

    Raises
    ------
    EnergyOutOfRangeError
        If an energy lies outside 1 to 200 keV.
    """
    return material.density_g_cm3 * mass_attenuation_cm2_g(material, energies_kev)


def mass_attenuation_cm2_g(material: Material, energies_kev: ArrayLike) -> NDArray[np.float64]:
    """Mass attenuation coefficient by the mixture rule: the mass-weighted mean over elements.

    Parameters
    ----------
    material : Material
    energies_kev : (n,) or scalar float
        Photon energies. [keV]

    Returns
    -------
    (n,) float array
        [cm2/g]

    Raises
    ------
    EnergyOutOfRangeError
        If an energy lies outside 1 to 200 keV.

    Source: elemental coefficients of Elam, Ravel, Sieber (Radiat Phys Chem 2002;63:121-8,
    https://doi.org/10.1016/S0969-806X(01)00227-4) through xraydb; they agree with the NIST
    tables (NISTIR 5632) within 0.1 % from 10 to 80 keV where compared.
    """
    energies = np.atleast_1d(np.asarray(energies_kev, dtype=np.float64))
    if not ((energies >= LOWEST_ENERGY_KEV) & (energies <= HIGHEST_ENERGY_KEV)).all():
        raise EnergyOutOfRangeError(float(energies.min()), float(energies.max()))
    key = tuple(energies.tolist())
    total = np.zeros_like(energies)
    for symbol, fraction in material.mass_fractions:
        total += fraction * _element_cm2_g(symbol, key)
    return total


@lru_cache(maxsize=512)
def _element_cm2_g(symbol: str, energies_kev: tuple[float, ...]) -> NDArray[np.float64]:
    return element_cm2_g(symbol, np.asarray(energies_kev))


__all__ = ["EnergyOutOfRangeError", "mass_attenuation_cm2_g", "mu_per_cm"]

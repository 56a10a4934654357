"""How hard a beam is: half-value layer, effective energy, air kerma."""

import numpy as np
from numpy.typing import NDArray

from bitewright.physics.air_kerma import air_kerma_ugy_cm2
from bitewright.physics.attenuation import mu_per_cm
from bitewright.physics.materials import Material, material
from bitewright.physics.spectrum import Spectrum

BISECTIONS = 60  # halves the bracket to beyond float64


def half_value_layer_mm_al(spectrum: Spectrum) -> float:
    """Aluminium that halves the air kerma, narrow beam [mm]."""
    return half_value_layer_mm(spectrum, material("aluminium"))


def half_value_layer_mm(spectrum: Spectrum, absorber: Material) -> float:
    """Thickness of an absorber that halves the air kerma, narrow beam.

    Model: each bin is attenuated exponentially and weighted by its air kerma; no scatter reaches
    the chamber.

    Returns
    -------
    float
        [mm]
    """
    kerma = spectrum.photons_per_cm2_mas * air_kerma_ugy_cm2(spectrum.energies_kev)
    return _halving_thickness_mm(kerma, mu_per_cm(absorber, spectrum.energies_kev) / 10.0)


def effective_energy_kev(spectrum: Spectrum) -> float:
    """Energy of the single-energy beam with the same half-value layer in aluminium.

    Model: mu(E) = ln 2 / HVL solved for E between 5 keV and the top of the spectrum. [keV]
    """
    return energy_of_half_value_layer_kev(
        half_value_layer_mm_al(spectrum), highest_kev=float(spectrum.energies_kev[-1])
    )


def energy_of_half_value_layer_kev(hvl_mm_al: float, *, highest_kev: float = 150.0) -> float:
    """Single energy whose half-value layer in aluminium is this [mm] to [keV]."""
    aluminium = material("aluminium")
    target_per_cm = np.log(2.0) / (hvl_mm_al / 10.0)
    energies_kev = np.linspace(5.0, highest_kev, 2901)
    mu = mu_per_cm(aluminium, energies_kev)  # falls with energy: no absorption edge above 1.6 keV
    return float(np.exp(np.interp(-np.log(target_per_cm), -np.log(mu), np.log(energies_kev))))


def air_kerma_ugy_per_mas(spectrum: Spectrum, *, distance_mm: float = 1000.0) -> float:
    """Air kerma free in air per mAs, by inverse square from the value at 1 m.

    Real tubes differ by tens of percent (waveform, target roughness): for teaching, not dosimetry.
    [mm] to [uGy/mAs]
    """
    at_one_metre = spectrum.photons_per_cm2_mas @ air_kerma_ugy_cm2(spectrum.energies_kev)
    return float(at_one_metre * (1000.0 / distance_mm) ** 2)


def _halving_thickness_mm(weights: NDArray[np.float64], mu_per_mm: NDArray[np.float64]) -> float:
    shares = weights / weights.sum()
    thin, thick = 0.0, float(np.log(2.0) / mu_per_mm.min())
    for _ in range(BISECTIONS):
        middle = 0.5 * (thin + thick)
        if shares @ np.exp(-mu_per_mm * middle) > 0.5:
            thin = middle
        else:
            thick = middle
    return 0.5 * (thin + thick)


__all__ = [
    "air_kerma_ugy_per_mas",
    "effective_energy_kev",
    "energy_of_half_value_layer_kev",
    "half_value_layer_mm",
    "half_value_layer_mm_al",
]

"""Half-value layer, effective energy and air kerma."""

import numpy as np
import pytest
import spekpy

from bitewright.physics.air_kerma import air_kerma_ugy_cm2
from bitewright.physics.attenuation import mu_per_cm
from bitewright.physics.materials import material
from bitewright.physics.spectrum import Spectrum, tube_spectrum
from trials.beam_quality import (
    air_kerma_ugy_per_mas,
    effective_energy_kev,
    energy_of_half_value_layer_kev,
    half_value_layer_mm_al,
)

DENTAL_BEAMS = [(60.0, 1.5), (60.0, 2.0), (65.0, 2.0), (70.0, 1.5), (70.0, 2.5), (90.0, 2.5)]


def single_energy(energy_kev: float) -> Spectrum:
    return Spectrum(energies_kev=np.array([energy_kev]), photons_per_cm2_mas=np.array([7.0]))


@pytest.mark.parametrize("energy_kev", [15.0, 30.0, 59.0])
def test_one_energy_has_ln_two_over_mu(energy_kev: float) -> None:
    mu_per_mm = mu_per_cm(material("aluminium"), energy_kev)[0] / 10.0
    hvl_mm = half_value_layer_mm_al(single_energy(energy_kev))
    assert hvl_mm == pytest.approx(np.log(2.0) / mu_per_mm, rel=1e-9)


@pytest.mark.parametrize("beam", DENTAL_BEAMS)
def test_the_layer_halves_the_air_kerma(beam: tuple[float, float]) -> None:
    spectrum = tube_spectrum(beam[0], filtration_mm_al=beam[1])
    behind = spectrum.filtered(material("aluminium"), half_value_layer_mm_al(spectrum))
    ratio = air_kerma_ugy_per_mas(behind) / air_kerma_ugy_per_mas(spectrum)
    assert ratio == pytest.approx(0.5, rel=1e-9)


@pytest.mark.parametrize("beam", DENTAL_BEAMS)
def test_the_tube_models_own_half_value_layer(beam: tuple[float, float]) -> None:
    """SpekPy's routine with its own attenuation tables and bins of half the width."""
    theirs = spekpy.Spek(kvp=beam[0], th=20.0, dk=0.5, mu_data_source="nist")
    theirs.filter("Al", beam[1])
    ours = tube_spectrum(beam[0], filtration_mm_al=beam[1])
    assert half_value_layer_mm_al(ours) == pytest.approx(theirs.get_hvl1(), rel=0.01)
    assert air_kerma_ugy_per_mas(ours) == pytest.approx(theirs.get_kerma(norm=True), rel=0.015)


@pytest.mark.parametrize(
    ("hvl_mm_al", "energy_kev"), [(1.5, 25.6), (2.0, 28.6), (2.1, 29.1), (2.5, 31.1)]
)
def test_energy_of_a_half_value_layer(hvl_mm_al: float, energy_kev: float) -> None:
    """By mu = ln 2 / HVL with the NIST table of aluminium, worked by hand to 0.1 keV."""
    assert energy_of_half_value_layer_kev(hvl_mm_al) == pytest.approx(energy_kev, abs=0.1)


def test_effective_energy_is_below_the_mean() -> None:
    spectrum = tube_spectrum(70.0, filtration_mm_al=2.0)
    assert 27.0 < effective_energy_kev(spectrum) < 30.0 < spectrum.mean_energy_kev < 40.0


def test_effective_energy_of_one_energy_is_that_energy() -> None:
    assert effective_energy_kev(single_energy(33.0)) == pytest.approx(33.0, abs=0.01)


def test_air_kerma_falls_with_the_square_of_the_distance() -> None:
    spectrum = tube_spectrum(65.0)
    at_20_cm = air_kerma_ugy_per_mas(spectrum, distance_mm=200.0)
    assert at_20_cm == pytest.approx(25.0 * air_kerma_ugy_per_mas(spectrum), rel=1e-12)


def test_air_kerma_of_one_photon() -> None:
    """At a tabulated energy: 40 keV x 0.06833 cm2/g x 1.602e-7 uGy per keV/g."""
    kerma = air_kerma_ugy_cm2(np.array([40.0]))
    assert kerma == pytest.approx(40.0 * 0.06833 * 1.602177e-7, rel=1e-6)

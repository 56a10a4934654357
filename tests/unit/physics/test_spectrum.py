"""The tube's spectrum."""

import numpy as np
import pytest

from bitewright.physics.attenuation import mu_per_cm
from bitewright.physics.materials import material
from bitewright.physics.spectrum import ImpossibleBeamError, Spectrum, tube_spectrum


def test_no_photon_has_more_energy_than_the_tube_voltage() -> None:
    spectrum = tube_spectrum(70.0)
    assert spectrum.energies_kev[-1] < 70.0
    assert spectrum.energies_kev[0] >= 5.0
    assert np.allclose(np.diff(spectrum.energies_kev), 1.0)


def test_weights_sum_to_one() -> None:
    assert tube_spectrum(60.0).fluence_weights.sum() == pytest.approx(1.0)


def test_tungsten_lines_need_seventy_kilovolts() -> None:
    """The bin of the K alpha 1 line (59.3 keV) stands out among its neighbours at 90 kV only."""
    for voltage_kv, stands_out in ((65.0, False), (90.0, True)):
        spectrum = tube_spectrum(voltage_kv)
        below, line, above = (np.abs(spectrum.energies_kev - e).argmin() for e in (56, 59.3, 62))
        photons = spectrum.photons_per_cm2_mas
        assert bool(photons[line] > 1.3 * (photons[below] + photons[above]) / 2.0) is stands_out


def test_the_same_factors_give_the_same_object_without_work() -> None:
    assert tube_spectrum(65.0) is tube_spectrum(65.0)


def test_a_spectrum_cannot_be_changed() -> None:
    with pytest.raises(ValueError, match="read-only"):
        tube_spectrum(65.0).photons_per_cm2_mas[0] = 0.0


def test_filtering_follows_beer_and_lambert() -> None:
    spectrum, aluminium = tube_spectrum(70.0), material("aluminium")
    passed = spectrum.filtered(aluminium, 3.0).photons_per_cm2_mas / spectrum.photons_per_cm2_mas
    expected = np.exp(-0.3 * mu_per_cm(aluminium, spectrum.energies_kev))
    assert passed == pytest.approx(expected, rel=1e-12)


def test_added_aluminium_is_tube_filtration() -> None:
    """By the tube model and by us: two attenuation tables, apart by a few percent below 15 keV."""
    by_tube = tube_spectrum(70.0, filtration_mm_al=2.5)
    by_us = tube_spectrum(70.0, filtration_mm_al=1.5).filtered(material("aluminium"), 1.0)
    shared = np.isin(by_us.energies_kev, by_tube.energies_kev)
    ratio = by_us.photons_per_cm2_mas[shared] / by_tube.photons_per_cm2_mas
    assert ratio == pytest.approx(1.0, rel=0.05)
    assert ratio[by_tube.energies_kev > 20.0] == pytest.approx(1.0, rel=0.01)


def test_mean_energy() -> None:
    two_lines = Spectrum(
        energies_kev=np.array([20.0, 50.0]), photons_per_cm2_mas=np.array([3.0, 1.0])
    )
    assert two_lines.mean_energy_kev == pytest.approx(27.5)


@pytest.mark.parametrize(
    ("voltage_kv", "angle_deg", "filtration_mm_al", "quantity"),
    [
        (70_000.0, 20.0, 2.0, "tube voltage"),
        (10.0, 20.0, 2.0, "tube voltage"),
        (70.0, 0.0, 2.0, "target angle"),
        (70.0, 20.0, 0.0, "filtration"),
        (70.0, 20.0, float("nan"), "filtration"),
    ],
)
def test_impossible_factors_are_refused(
    voltage_kv: float, angle_deg: float, filtration_mm_al: float, quantity: str
) -> None:
    with pytest.raises(ImpossibleBeamError, match=quantity):
        tube_spectrum(voltage_kv, target_angle_deg=angle_deg, filtration_mm_al=filtration_mm_al)

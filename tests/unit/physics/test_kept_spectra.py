"""Kept and worked-out spectra are those of the library they spare."""

import dataclasses
from itertools import product

import numpy as np
import pytest

from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.equipment.tubes import Tube
from bitewright.physics.kept_spectra import usual_spectrum, worked_out_spectrum
from bitewright.physics.materials import material
from bitewright.physics.spectrum import (
    TARGET_ANGLE_RANGE_DEG,
    TUBE_VOLTAGE_RANGE_KV,
    Spectrum,
    tube_spectrum,
)
from builders.physics_tables import (
    USUAL_FILTRATIONS_MM_AL,
    USUAL_TARGET_ANGLE_DEG,
    USUAL_VOLTAGES_KV,
    spectrum_from_source,
)
from trials.beam_quality import air_kerma_ugy_per_mas, half_value_layer_mm_al

STALE = "run `python -m builders.physics_tables`"
EVERY = pytest.mark.slow
WHOLE_VOLTAGES = [
    (60.0, 12.0, 0.5),
    pytest.param(40.0, 5.0, 0.5, marks=EVERY),
    pytest.param(55.0, 17.0, 1.5, marks=EVERY),
    pytest.param(70.0, 6.0, 2.5, marks=EVERY),
    pytest.param(75.0, 25.0, 3.0, marks=EVERY),
    pytest.param(90.0, 37.0, 10.0, marks=EVERY),
    pytest.param(100.0, 45.0, 2.0, marks=EVERY),
]
COARSE = 0.025
"""What bins of 1 keV cost where hardly any filter holds the tungsten's L lines back."""
BETWEEN = [
    (67.5, 20.0, 2.0, 1e-3),
    pytest.param(40.5, 5.5, 0.5, COARSE, marks=EVERY),
    pytest.param(69.7, 16.0, 1.5, 1e-3, marks=EVERY),
    pytest.param(71.3, 12.5, 2.5, 1e-3, marks=EVERY),
    pytest.param(99.5, 38.0, 10.0, 1e-3, marks=EVERY),
]


@pytest.mark.parametrize("filtration", [2.0, *(pytest.param(mm, marks=EVERY) for mm in (1.5, 2.5))])
@pytest.mark.parametrize("kv", [65.0, *(pytest.param(kv, marks=EVERY) for kv in (60, 63, 66, 70))])
def test_usual_spectra_are_as_their_source_gives_them(kv: float, filtration: float) -> None:
    energies, photons = spectrum_from_source(kv, USUAL_TARGET_ANGLE_DEG, filtration)
    kept = usual_spectrum(kv, USUAL_TARGET_ANGLE_DEG, filtration)
    assert kept is not None, STALE
    assert np.array_equal(kept[0], energies), STALE
    np.testing.assert_allclose(kept[1], photons, rtol=1e-9, err_msg=STALE)


@pytest.mark.parametrize("filtration", USUAL_FILTRATIONS_MM_AL)
@pytest.mark.parametrize("kv", USUAL_VOLTAGES_KV)
def test_usual_spectra_can_be_worked_out(kv: float, filtration: float) -> None:
    usual = usual_spectrum(kv, USUAL_TARGET_ANGLE_DEG, filtration)
    energies, photons = worked_out_spectrum(kv, USUAL_TARGET_ANGLE_DEG, filtration)
    assert usual is not None
    shared = np.isin(energies, usual[0])
    np.testing.assert_allclose(photons[shared], usual[1], rtol=1e-5)


@pytest.mark.parametrize(("kv", "angle", "filtration"), WHOLE_VOLTAGES)
def test_other_tubes_at_whole_voltages(kv: float, angle: float, filtration: float) -> None:
    energies, photons = spectrum_from_source(kv, angle, filtration)
    ours = tube_spectrum(kv, target_angle_deg=angle, filtration_mm_al=filtration)
    assert np.array_equal(ours.energies_kev, energies)
    np.testing.assert_allclose(ours.photons_per_cm2_mas, photons, rtol=2e-4)


@pytest.mark.parametrize(("kv", "angle", "filtration", "within"), BETWEEN)
def test_other_tubes_between_whole_voltages(
    kv: float, angle: float, filtration: float, within: float
) -> None:
    """By what the beam does, for the library's bins then end elsewhere: here narrow ones."""
    energies, photons = spectrum_from_source(kv, angle, filtration, bin_width_kev=0.1)
    theirs = Spectrum(energies_kev=energies, photons_per_cm2_mas=photons)
    ours = tube_spectrum(kv, target_angle_deg=angle, filtration_mm_al=filtration)
    for quantity in (half_value_layer_mm_al, air_kerma_ugy_per_mas, mean_energy, through_dentine):
        assert quantity(ours) == pytest.approx(quantity(theirs), rel=within), quantity.__name__


def mean_energy(beam: Spectrum) -> float:
    return beam.mean_energy_kev


def through_dentine(beam: Spectrum) -> float:
    behind = beam.filtered(material("dentine"), 8.0)
    return float(behind.photons_per_cm2_mas.sum() / beam.photons_per_cm2_mas.sum())


def test_every_packaged_tube_is_kept() -> None:
    for name in packaged_catalogue().tubes:
        tube = packaged_catalogue().tube(name)
        asked = tube.kv, tube.target_angle_deg, tube.filtration_mm_al
        assert usual_spectrum(*asked) is not None, f"{name}: {STALE}"
    assert usual_spectrum(67.5, USUAL_TARGET_ANGLE_DEG, 2.0) is None


def test_the_tube_model_covers_every_tube_of_a_catalogue() -> None:
    ranges = {field.name: field.metadata.get("range") for field in dataclasses.fields(Tube)}
    assert ranges["kv"] == TUBE_VOLTAGE_RANGE_KV
    assert ranges["target_angle_deg"] == TARGET_ANGLE_RANGE_DEG
    for kv, angle in product(*(ranges[name] for name in ("kv", "target_angle_deg"))):
        tube_spectrum(kv, target_angle_deg=angle, filtration_mm_al=ranges["filtration_mm_al"][1])


def test_voltage_turns_the_spectrum_little_by_little() -> None:
    """No jump where one whole voltage gives way to the next."""
    just_below, at, just_above = (
        tube_spectrum(kv, target_angle_deg=17.0).photons_per_cm2_mas[:60]
        for kv in (71.999, 72.0, 72.001)
    )
    np.testing.assert_allclose(just_below, at, rtol=1e-3)
    np.testing.assert_allclose(just_above, at, rtol=1e-3)

"""Kept spectra and coefficients are those of the libraries they spare."""

import numpy as np
import pytest

from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.physics.attenuation import element_from_source_cm2_g
from bitewright.physics.kept_tables import kept_element_cm2_g, kept_spectrum
from bitewright.physics.spectrum import spectrum_from_source, tube_spectrum
from builders.physics_tables import (
    ENERGIES_KEV,
    FILTRATIONS_MM_AL,
    TARGET_ANGLE_DEG,
    VOLTAGES_KV,
    elements,
)

STALE = "run `python -m builders.physics_tables`"


@pytest.mark.parametrize("filtration", FILTRATIONS_MM_AL)
@pytest.mark.parametrize("kv", VOLTAGES_KV)
def test_spectra_are_as_their_source_gives_them(kv: float, filtration: float) -> None:
    source = spectrum_from_source(kv, TARGET_ANGLE_DEG, filtration)
    kept = kept_spectrum(kv, TARGET_ANGLE_DEG, filtration)
    assert kept is not None, STALE
    assert np.array_equal(kept[0], source.energies_kev), STALE
    np.testing.assert_allclose(kept[1], source.photons_per_cm2_mas, rtol=1e-9, err_msg=STALE)


@pytest.mark.parametrize("symbol", elements())
def test_coefficients_are_as_their_source_gives_them(symbol: str) -> None:
    kept = kept_element_cm2_g(symbol, ENERGIES_KEV)
    assert kept is not None, STALE
    source = element_from_source_cm2_g(symbol, ENERGIES_KEV)
    np.testing.assert_allclose(kept, source, rtol=1e-9, err_msg=STALE)


def test_every_packaged_tube_is_kept() -> None:
    for name in packaged_catalogue().tubes:
        tube = packaged_catalogue().tube(name)
        asked = tube.kv, tube.target_angle_deg, tube.filtration_mm_al
        assert kept_spectrum(*asked) is not None, f"{name}: {STALE}"


def test_energies_of_kept_spectra_are_kept_too() -> None:
    energies = tuple(tube_spectrum(max(VOLTAGES_KV)).energies_kev.tolist())
    assert kept_element_cm2_g("Ca", energies) is not None


def test_what_is_not_kept_is_told_so() -> None:
    assert kept_spectrum(67.5, TARGET_ANGLE_DEG, 2.0) is None
    assert kept_element_cm2_g("Ca", (30.0,)) is None
    assert kept_element_cm2_g("U", ENERGIES_KEV) is None
    assert tube_spectrum(67.5).energies_kev[-1] < 67.5

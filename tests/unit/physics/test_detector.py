"""What a receptor makes of photons."""

import numpy as np
import pytest

from bitewright.physics.detector import (
    Detector,
    UnknownDetectorError,
    detector,
    packaged_detectors,
)
from bitewright.physics.materials import material
from bitewright.physics.spectrum import tube_spectrum


@pytest.mark.parametrize("name", sorted(packaged_detectors()))
def test_weights_sum_to_one_and_none_is_negative(name: str) -> None:
    weights = detector(name).signal_weights(tube_spectrum(70.0))
    assert weights.sum() == pytest.approx(1.0)
    assert (weights >= 0).all()


def test_a_thick_layer_adds_every_photons_whole_energy() -> None:
    thick = Detector(name="thick", material=material("lead"), thickness_mm=50.0, source="this test")
    energies_kev = np.array([20.0, 60.0])
    assert thick.signal_per_photon_kev(energies_kev) == pytest.approx(energies_kev)


def test_a_thin_layer_answers_in_proportion_to_its_thickness() -> None:
    thin, thinner = (
        Detector(name="thin", material=material("water"), thickness_mm=t, source="this test")
        for t in (2e-4, 1e-4)
    )
    energies_kev = np.array([30.0])
    twice = thin.signal_per_photon_kev(energies_kev) / thinner.signal_per_photon_kev(energies_kev)
    assert twice == pytest.approx(2.0, rel=1e-4)


def test_barium_answers_more_above_its_edge() -> None:
    below, above = detector("phosphor_plate").signal_per_photon_kev(np.array([37.0, 38.0]))
    assert above > 2.0 * below


def test_an_unknown_name_lists_those_there_are() -> None:
    with pytest.raises(UnknownDetectorError, match="phosphor_plate"):
        detector("retina")

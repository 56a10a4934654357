"""A few energies against the whole spectrum, metals included."""

import numpy as np
import pytest

from bitewright.film.predicted_film import DETECTORS
from bitewright.film.shells import ShellGroup, mouth_shells
from bitewright.film.spectrum_nodes import spectrum_nodes
from bitewright.film.transmission import transmission, transmission_at_nodes
from bitewright.physics.detector import detector
from bitewright.physics.spectrum import tube_spectrum

ALLOWED = 5e-4  # of -ln T


@pytest.mark.parametrize("kind", DETECTORS.values())
@pytest.mark.parametrize("kv", [60.0, 70.0])
def test_nodes_attenuate_as_the_whole_spectrum_does(kind: str, kv: float) -> None:
    spectrum, receptor, shells = tube_spectrum(kv), detector(kind), mouth_shells()
    nodes = spectrum_nodes(shells, spectrum, receptor)
    generator = np.random.default_rng(5)
    lengths = np.zeros((len(ShellGroup), 40, 50), dtype=np.float32)
    lengths[ShellGroup.TOOTH] = generator.uniform(0.0, 12.0, (40, 50))
    lengths[ShellGroup.DENTINE] = lengths[ShellGroup.TOOTH] * generator.uniform(0, 1, (40, 50))
    lengths[ShellGroup.SOFT_TISSUE] = generator.uniform(0.0, 60.0, (40, 50))
    lengths[ShellGroup.BONE] = generator.uniform(0.0, 8.0, (40, 50))
    lengths[ShellGroup.SPONGIOSA] = 0.7 * lengths[ShellGroup.BONE]
    filled = generator.uniform(0.0, 1.5, (40, 50)) * (lengths[ShellGroup.TOOTH] > 6.0)
    lengths[ShellGroup.FILLING] = filled
    whole = transmission(lengths, shells, spectrum, receptor)
    few = transmission_at_nodes(lengths, nodes.exponents_per_mm, nodes.weights)
    kept = whole > 1e-3  # less than the fog of any receptor
    assert kept.sum() > 1000
    assert np.abs(np.log(few[kept]) - np.log(whole[kept])).max() < ALLOWED
    assert nodes.worst_error < ALLOWED

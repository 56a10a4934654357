"""From lengths to the share of the open beam's signal."""

from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest
from numpy.typing import NDArray

from bitewright.film.path_lengths import path_lengths
from bitewright.film.receptor_grid import ReceptorGrid
from bitewright.film.shells import Shell, ShellGroup, mouth_shells, mu_of_shells_per_mm
from bitewright.film.transmission import ShellCountError, transmission
from bitewright.physics.detector import detector
from bitewright.physics.materials import material
from bitewright.physics.spectrum import Spectrum, tube_spectrum
from bitewright.row_bands import Threads
from tests.closed_meshes import box

BEAM = tube_spectrum(70.0)
PLATE = detector("phosphor_plate")


def mouth_like_lengths_mm(shape: tuple[int, int]) -> NDArray[np.float32]:
    """Plausible nested lengths in every group, with an open strip at the left."""
    generator = np.random.default_rng(11)
    lengths = np.zeros((len(ShellGroup), *shape), np.float32)
    lengths[ShellGroup.TOOTH] = generator.uniform(0.0, 11.0, shape)
    lengths[ShellGroup.DENTINE] = 0.8 * lengths[ShellGroup.TOOTH]
    lengths[ShellGroup.PULP] = 0.1 * lengths[ShellGroup.DENTINE]
    lengths[ShellGroup.SOFT_TISSUE] = generator.uniform(0.0, 40.0, shape)
    lengths[ShellGroup.BONE] = 0.3 * lengths[ShellGroup.SOFT_TISSUE]
    lengths[ShellGroup.SPONGIOSA] = 0.7 * lengths[ShellGroup.BONE]
    lengths[ShellGroup.FILLING, 5:9] = 3.0
    lengths[:, :, :4] = 0.0
    return lengths


def one_energy(energy_kev: float) -> Spectrum:
    return Spectrum(energies_kev=np.array([energy_kev]), photons_per_cm2_mas=np.array([1.0]))


@pytest.mark.parametrize(
    ("name", "thickness_mm", "energy_kev", "expected"),
    [("cortical_bone", 5.0, 40.0, 0.528), ("aluminium", 2.0, 30.0, 0.544)],
)
def test_beer_and_lambert_from_mesh_to_pixel(
    name: str, thickness_mm: float, energy_kev: float, expected: float
) -> None:
    """A slab across the central ray, one energy: I = I0 exp(-mu t), worked by hand."""
    grid = ReceptorGrid.centred(columns=21, rows=11, pixel_mm=0.3)
    slab = box((0.0, 0.0, -20.0), (100.0, 100.0, thickness_mm))
    lengths_mm = path_lengths([slab], [0], (0.0, 0.0, -300.0), grid).lengths_mm
    shells = [Shell(filled_with=material(name))]
    shares = transmission(lengths_mm, shells, one_energy(energy_kev), PLATE)
    assert shares[5, 10] == pytest.approx(expected, abs=0.0005)


def test_every_energy_is_summed_as_in_double_precision() -> None:
    shells, lengths_mm = mouth_shells(), mouth_like_lengths_mm((30, 700))
    shares = transmission(lengths_mm, shells, BEAM, PLATE)
    mu = mu_of_shells_per_mm(shells, BEAM.energies_kev)
    depths = np.einsum("kg,grc->krc", mu, lengths_mm.astype(np.float64))
    expected = np.einsum("k,krc->rc", PLATE.signal_weights(BEAM), np.exp(-depths))
    assert expected.min() < 1e-4
    assert np.abs(np.log(shares) - np.log(expected)).max() < 3e-6


def test_the_open_beam_is_exactly_one() -> None:
    shares = transmission(mouth_like_lengths_mm((12, 40)), mouth_shells(), BEAM, PLATE)
    assert (shares[:, :4] == 1.0).all()
    assert (shares[:, 4:] < 1.0).all()


def test_metal_too_thick_to_see_through_stays_above_zero() -> None:
    lengths_mm = np.full((1, 1, 1), 500.0, np.float32)
    shares = transmission(lengths_mm, [Shell(filled_with=material("lead"))], BEAM, PLATE)
    assert 0.0 < shares[0, 0] < 1e-20


def test_any_number_of_threads_gives_the_same_bits() -> None:
    lengths_mm = mouth_like_lengths_mm((33, 520))
    alone = transmission(lengths_mm, mouth_shells(), BEAM, PLATE)
    with ThreadPoolExecutor(2) as pool:
        threads = Threads(count=2, map=pool.map)
        shared = transmission(lengths_mm, mouth_shells(), BEAM, PLATE, threads=threads)
    assert np.array_equal(alone, shared)


def test_each_group_needs_its_shell() -> None:
    with pytest.raises(ShellCountError, match="2 groups"):
        transmission(np.zeros((2, 3, 3), np.float32), mouth_shells(), BEAM, PLATE)

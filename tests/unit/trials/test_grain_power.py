"""Power of textures: against signals whose power is known without the program."""

import numpy as np
import pytest

from trials.grain_power import Patch, PatchError, detrended, grain_power

PIXEL_MM = 0.03


def test_white_noise_has_its_variance_spread_evenly_up_to_the_finest_line() -> None:
    """Each frequency of the plane holds deviation squared times the pixel's area."""
    noise = 5.0 * np.random.default_rng(1).standard_normal((300, 300))
    power = grain_power(noise, PIXEL_MM, [1.0, 2.0, 4.0, 8.0, 12.0])
    assert power == pytest.approx(25.0 * PIXEL_MM**2, rel=0.25)


def test_a_wave_shows_at_its_own_frequency() -> None:
    x = np.arange(240) * PIXEL_MM
    wave = np.broadcast_to(10.0 * np.sin(2 * np.pi * 2.0 * x), (240, 240))
    asked = np.array([0.5, 1.0, 2.0, 3.0, 4.0])
    power = grain_power(wave, PIXEL_MM, asked)
    assert asked[power.argmax()] == 2.0
    assert power[2] > 50.0 * power[[0, 4]].max()


def test_a_wedge_of_tissue_is_no_texture() -> None:
    y, x = np.mgrid[:80, :60] / 40.0
    wedge = 100.0 + 30.0 * x - 20.0 * y + 8.0 * x * y + 5.0 * y * y
    assert np.abs(detrended(wedge)).max() < 1e-9


@pytest.mark.parametrize(
    "patch", [Patch(top=0, bottom=10, left=0, right=40), Patch(top=0, bottom=40, left=30, right=99)]
)
def test_a_patch_too_small_or_outside_is_refused(patch: Patch) -> None:
    with pytest.raises(PatchError, match="Choose another"):
        patch.of(np.zeros((60, 60)))

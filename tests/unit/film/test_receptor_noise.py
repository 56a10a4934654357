"""Noise of a receptor: as coarse as its grain, whatever the pixel."""

from dataclasses import replace

import numpy as np
import pytest

from bitewright.film.film_settings import FilmSettings
from bitewright.film.receptor_noise import with_noise

GRAIN_MM = 0.05


@pytest.mark.parametrize("pixel_mm", [0.02, 0.04])
@pytest.mark.parametrize("grain_down", [1.0, 1.5])
def test_quantum_noise_is_as_coarse_as_its_grain(pixel_mm: float, grain_down: float) -> None:
    """White noise blurred by a Gaussian is alike over d by exp(-d2 / 4 s2): arithmetic."""
    settings = replace(
        FilmSettings(),
        quantum_grain_mm=GRAIN_MM,
        grain_down=grain_down,
        clump_share=0.0,
        structure_noise=0.0,
    )
    even = np.ones((400, 400), dtype=np.float32)
    noise = with_noise(even, pixel_mm, settings, np.random.default_rng(2)) - even
    for way, grain_mm in ((noise, grain_down * GRAIN_MM), (noise.T, GRAIN_MM)):
        steps = round(1.2 * grain_mm / pixel_mm)
        alike = np.corrcoef(way[steps:].ravel(), way[:-steps].ravel())[0, 1]
        expected = np.exp(-((steps * pixel_mm / grain_mm) ** 2) / 4.0)
        assert alike == pytest.approx(expected, abs=0.06)

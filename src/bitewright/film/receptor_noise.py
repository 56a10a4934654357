"""Noise of a receptor and its reader: quanta, clumps of them, structure, slow noise in the dark."""

import numpy as np
from numpy.typing import NDArray

from bitewright.film.blur import between_blocks, blurred, gaussian
from bitewright.film.film_settings import FilmSettings

Image = NDArray[np.float32]


def with_noise(
    signal: Image, pixel_mm: float, settings: FilmSettings, generator: np.random.Generator
) -> Image:
    """A signal with noise drawn on it: quanta's, and the receptor's own.

    Our model: quantum noise goes with the root of signal and dark, structure noise with the signal;
    both are white noise, blurred.

    Parameters
    ----------
    signal : (rows, columns) float32 array
        Share of the open beam at the right exposure.
    pixel_mm : float
        [mm]
    settings : FilmSettings
    generator : numpy Generator

    Returns
    -------
    (rows, columns) float32 array
    """
    quanta = settings.quanta_per_mm2 * pixel_mm**2
    down = settings.grain_down
    quantum, structure = (
        blurred(
            generator.standard_normal(signal.shape, dtype=np.float32),
            grain_mm / pixel_mm,
            down_px=down * grain_mm / pixel_mm,
        )
        for grain_mm in (settings.quantum_grain_mm, settings.structure_grain_mm)
    )
    if settings.clump_share:
        quantum += _clumps(signal.shape, pixel_mm, settings, generator)
    kept = np.maximum(signal, 0.0)
    left = _deviation_left(settings.structure_grain_mm / pixel_mm, down)
    structure *= np.float32(settings.structure_noise / left)
    structure += np.float32(1.0)
    structure *= kept  # in place: fresh memory costs as much as the sums
    kept += np.float32(settings.dark_share)
    kept *= np.float32(1.0 / quanta)
    quantum *= np.sqrt(kept, out=kept)
    structure += quantum
    return structure


def _clumps(
    shape: tuple[int, ...], pixel_mm: float, settings: FilmSettings, generator: np.random.Generator
) -> Image:
    """Quantum noise blurred over more than grains."""
    block = max(round(settings.clump_mm / pixel_mm), 1)
    strength = np.sqrt(settings.clump_share) / block  # a block's quanta are as noisy
    return _slow_noise(shape, block, settings.clump_mm / (block * pixel_mm), strength, generator)


def _deviation_left(sigma_px: float, down: float = 1.0) -> float:
    """What a blur leaves of white noise's deviation."""
    return float(np.sqrt(np.prod([(gaussian(s) ** 2).sum() for s in (sigma_px, down * sigma_px)])))


def reader_noise(
    shape: tuple[int, ...], pixel_mm: float, settings: FilmSettings, generator: np.random.Generator
) -> Image:
    """Slow noise that a reader adds behind its logarithm, the same in bright and dark.

    Our model: white noise, blurred.

    Parameters
    ----------
    shape : tuple
        Rows and columns.
    pixel_mm : float
        [mm]
    settings : FilmSettings
    generator : numpy Generator

    Returns
    -------
    (rows, columns) float32 array
        [8-bit grey]
    """
    block = max(int(settings.reader_grain_mm / pixel_mm), 1)
    sigma = settings.reader_grain_mm / (block * pixel_mm)
    strength = settings.reader_noise / _deviation_left(sigma)
    return _slow_noise(shape, block, sigma, strength, generator)


def _slow_noise(
    shape: tuple[int, ...],
    block: int,
    sigma_blocks: float,
    strength: float,
    generator: np.random.Generator,
) -> Image:
    """Noise drawn on blocks, blurred over some of them and interpolated."""
    coarse = (-(-shape[0] // block), -(-shape[1] // block))
    noise = blurred(generator.standard_normal(coarse, dtype=np.float32), sigma_blocks)
    noise *= np.float32(strength)
    return between_blocks(noise, block, shape)


__all__ = ["reader_noise", "with_noise"]

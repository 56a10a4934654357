"""Dust on a plate (common practice, no source): small, bright, here and there."""

import numpy as np
import pytest
from scipy.special import gamma

from bitewright.film.plate_dust import DUST, _hair, _lay, dusty

FIELD_MM = (30.0, 40.0)


def laid(pixel_mm: float, seed: int, size: float = 1.0) -> np.ndarray:
    """What dust adds to an even grey field."""
    shape = tuple(round(side / pixel_mm) for side in FIELD_MM)
    grey = np.full(shape, 100.0, dtype=np.float32)
    return dusty(grey, pixel_mm, size, np.random.default_rng(seed)) - grey


@pytest.mark.parametrize("seed", range(5))
def test_dust_is_bright_and_covers_little(seed: int) -> None:
    added = laid(0.03, seed)
    assert added.min() >= 0.0
    assert added.max() > 40.0
    assert 1e-5 < np.mean(added > 10.0) < 0.004


def test_more_dust_covers_more() -> None:
    less, more = (np.mean([laid(0.03, k, size).mean() for k in range(5)]) for size in (0.5, 2.0))
    assert more > 2.0 * less


def test_a_coarser_receptor_shows_as_much_of_it() -> None:
    fine, coarse = (np.mean([laid(pixel, k).mean() for k in range(5)]) for pixel in (0.02, 0.06))
    assert coarse == pytest.approx(fine, rel=0.3)


def test_specks_are_of_many_sizes() -> None:
    from scipy import ndimage  # noqa: PLC0415  only here

    sizes: list[float] = []
    for seed in range(6):
        marks, count = ndimage.label(laid(0.02, seed) > 15.0)
        sizes += ndimage.sum_labels(np.ones_like(marks), marks, range(1, count + 1)).tolist()
    low, high = np.percentile(sizes, [10, 90])
    assert high > 6.0 * low


def test_a_hair_is_as_large_as_its_length_and_width_say() -> None:
    """Bends and turns leave its area: that of a bell across and of ends that fade along."""
    pixel_mm, form = 0.01, DUST.hairs
    place = pixel_mm * np.arange(-500, 501, dtype=np.float32)
    against = []
    for seed in range(10):
        laid = _hair(np.random.default_rng(seed), pixel_mm)(place[None, :], place[:, None])
        drawn = np.random.default_rng(seed)  # length and width are drawn first
        half = drawn.uniform(*form.half_length_mm)
        width = max(drawn.uniform(*form.width_mm), DUST.plate.least_pixels * pixel_mm)
        whole = 2.0 * half * gamma(1.25) * width * np.sqrt(np.pi)
        even = whole * (1.0 - form.uneven_share)  # brighter here and there, as often darker
        against.append(laid.sum() * pixel_mm**2 / laid.max() / even)
    assert np.mean(against) == pytest.approx(1.0, abs=0.2)
    assert max(against) < 1.7


@pytest.mark.parametrize("at_mm", [(-14.8, -19.7), (14.9, 0.0), (0.0, 19.9), (3.0, -2.0)])
def test_what_lies_near_an_edge_is_cut_off_there_and_nowhere_else(
    at_mm: tuple[float, float],
) -> None:
    """Against the whole picture at once."""
    pixel_mm, shape = 0.05, (600, 800)
    share = np.zeros(shape, dtype=np.float32)
    v, u = (
        pixel_mm * (np.arange(n, dtype=np.float32) - np.float32(0.5 * (n - 1)) - at / pixel_mm)
        for n, at in zip(shape, at_mm, strict=True)
    )

    def round_speck(u: np.ndarray, v: np.ndarray) -> np.ndarray:
        return np.exp(-(u**2 + v**2) / 0.2**2)

    _lay(share, np.array(at_mm[::-1]), pixel_mm, round_speck)
    np.testing.assert_allclose(share, round_speck(u[None, :], v[:, None]), atol=1e-3)

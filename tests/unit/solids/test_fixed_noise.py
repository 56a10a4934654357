"""Noise that is the same on every machine, by a generator that others published."""

import numpy as np
import pytest

from bitewright.solids.fixed_noise import scrambled, slow_noise, splitmix64

PUBLISHED = [0xE220A8397B1DCDAF, 0x6E789E6AA1B965F4, 0x06C45D188009454F, 0xF88BB8A8724C81EC]
"""First numbers of splitmix64.c (Vigna 2015, in the public domain) started at 0, as others who
test against it give them."""


def test_the_generator_gives_the_published_numbers() -> None:
    assert splitmix64(4).tolist() == PUBLISHED


def test_scrambled_numbers_are_even_and_follow_no_pattern() -> None:
    numbers = scrambled((20, 30, 40))
    assert numbers.shape == (20, 30, 40)
    assert abs(numbers).max() <= 0.5
    assert np.histogram(numbers, bins=10, range=(-0.5, 0.5))[0] == pytest.approx(2400, rel=0.1)
    for axis in range(3):
        beside = np.roll(numbers, 1, axis=axis)
        assert abs(np.corrcoef(numbers.ravel(), beside.ravel())[0, 1]) < 0.02


def test_slow_noise_swells_over_its_size() -> None:
    line = np.zeros((4000, 3))
    line[:, 0] = np.arange(4000) * 0.05
    noise = slow_noise(line + np.array([0.0, 3.0, 9.0]), 2.0)
    near, far = (np.corrcoef(noise[:-k], noise[k:])[0, 1] for k in (4, 80))
    assert near > 0.9
    assert abs(far) < 0.5

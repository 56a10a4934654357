"""The compiled search's own arithmetic, beside the library's."""

import numpy as np

from bitewright.mouth.surface_gaps import _power


def test_powers_are_numpys() -> None:
    generator = np.random.default_rng(1)
    bases = np.append(generator.random(5000), [1.0, 1e-9])
    exponents = np.append(generator.uniform(0.15, 6.0, 5000), [2.5, 0.4])
    found = [_power(base, exponent) for base, exponent in zip(bases, exponents, strict=True)]
    np.testing.assert_allclose(found, np.power(bases, exponents), rtol=1e-13)


def test_nothing_to_a_power_is_nothing() -> None:
    assert 0.0 <= _power(0.0, 1.4) < 1e-300

"""Attenuation of elements is that of the library whose splines are kept."""

import numpy as np
import pytest

from bitewright.physics.attenuation import mass_attenuation_cm2_g
from bitewright.physics.elements import UnknownElementError, element_cm2_g
from bitewright.physics.materials import Material
from builders.physics_tables import ENERGIES_KEV, element_from_source_cm2_g, elements

STALE = "run `python -m builders.physics_tables`"
SPREAD_KEV = np.concatenate([ENERGIES_KEV, np.geomspace(1.01, 199.0, 400)])


@pytest.mark.parametrize("symbol", elements())
def test_coefficients_are_as_their_source_gives_them(symbol: str) -> None:
    source = element_from_source_cm2_g(symbol, SPREAD_KEV)
    np.testing.assert_allclose(element_cm2_g(symbol, SPREAD_KEV), source, 1e-12, err_msg=STALE)


def test_the_ends_of_the_range_are_in_the_table() -> None:
    for symbol in elements():
        ends, near = (element_cm2_g(symbol, np.array(at)) for at in ([1.0, 200.0], [1.001, 199.9]))
        np.testing.assert_allclose(ends, near, rtol=0.01)


def test_an_element_that_is_not_kept_is_told_so() -> None:
    uranium = Material(name="u", density_g_cm3=19.0, mass_fractions=(("U", 1.0),), source="test")
    with pytest.raises(UnknownElementError, match="'U'"):
        mass_attenuation_cm2_g(uranium, 30.0)

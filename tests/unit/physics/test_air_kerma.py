"""Kerma of air goes by a spline that is scipy's."""

import tomllib
from importlib.resources import files

import numpy as np
from scipy.interpolate import CubicSpline

from bitewright.physics.air_kerma import MICROGRAY_PER_KEV_G, air_kerma_ugy_cm2


def test_the_spline_is_that_of_scipy() -> None:
    text = files("bitewright.physics").joinpath("tables/air_absorption.toml").read_text("utf-8")
    table = tomllib.loads(text)
    places = np.log(table["energies_kev"])
    spline = CubicSpline(places, np.log(table["mu_en_over_rho_cm2_g"]))
    energies = np.exp(np.linspace(places[0], places[-1], 501))
    expected = energies * np.exp(spline(np.log(energies))) * MICROGRAY_PER_KEV_G
    np.testing.assert_allclose(air_kerma_ugy_cm2(energies), expected, rtol=1e-12)

"""Nested surfaces and the materials between them."""

import numpy as np
import pytest

from bitewright.film.shells import (
    Shell,
    ShellGroup,
    material_from_shell,
    mouth_shells,
    mu_of_shells_per_mm,
)
from bitewright.physics.attenuation import mu_per_cm
from bitewright.physics.materials import material

ENERGIES_KEV = np.array([20.0, 40.0, 60.0])


def test_enamel_is_outer_less_dentine_and_dentine_is_dentine_less_pulp() -> None:
    materials, matrix = material_from_shell(mouth_shells())
    lengths_mm = np.zeros(len(ShellGroup))
    lengths_mm[[ShellGroup.TOOTH, ShellGroup.DENTINE, ShellGroup.PULP]] = 9.0, 7.0, 1.5
    in_material = dict(zip((m.name for m in materials), matrix @ lengths_mm, strict=True))
    assert in_material["enamel"] == pytest.approx(2.0)
    assert in_material["dentine"] == pytest.approx(5.5)
    assert in_material["soft_tissue"] == pytest.approx(1.5)


def test_there_is_a_shell_for_each_group() -> None:
    assert len(mouth_shells()) == len(ShellGroup)


def test_a_filling_takes_the_place_of_what_it_fills() -> None:
    """10 mm of tooth, 8 of them dentine, 3 of filling of which 2 lie in the dentine."""
    lengths_mm = np.zeros(len(ShellGroup))
    tooth = [ShellGroup.TOOTH, ShellGroup.DENTINE]
    filling = [ShellGroup.FILLING, ShellGroup.FILLING_IN_DENTINE]
    lengths_mm[tooth + filling] = 10.0, 8.0, 3.0, 2.0
    ours = mu_of_shells_per_mm(mouth_shells(), ENERGIES_KEV) @ lengths_mm
    layers_mm = {"enamel": 1.0, "dentine": 6.0, "amalgam": 3.0}
    expected = sum(
        mu_per_cm(material(name), ENERGIES_KEV) / 10.0 * mm for name, mm in layers_mm.items()
    )
    assert ours == pytest.approx(expected)


def test_a_surface_filled_with_its_surroundings_changes_nothing() -> None:
    water = material("water")
    assert not mu_of_shells_per_mm([Shell(filled_with=water, host=water)], ENERGIES_KEV).any()

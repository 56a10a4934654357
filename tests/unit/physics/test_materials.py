"""Compositions are possible, sourced and mix as volumes do."""

import pytest

from bitewright.physics.materials import (
    ImpossibleMaterialError,
    Material,
    UnknownMaterialError,
    material,
    mixed_by_volume,
    packaged_materials,
)


def made(density_g_cm3: float, **fractions: float) -> Material:
    return Material(
        name="made up",
        density_g_cm3=density_g_cm3,
        mass_fractions=tuple(fractions.items()),
        source="this test",
    )


def test_the_table_holds_what_a_film_needs() -> None:
    needed = {
        *("enamel", "dentine", "soft_tissue", "cortical_bone", "mandible_spongiosa", "water"),
        *("aluminium", "pmma", "amalgam", "lead", "air"),
    }
    assert needed <= set(packaged_materials())


@pytest.mark.parametrize("name", sorted(packaged_materials()))
def test_every_material_names_its_source(name: str) -> None:
    assert len(material(name).source) > 10


def test_an_unknown_name_lists_those_there_are() -> None:
    with pytest.raises(UnknownMaterialError, match="enamel") as failure:
        material("unobtainium")
    assert "enamel" in failure.value.known


@pytest.mark.parametrize("density_g_cm3", [0.0, -1.0])
def test_density_must_be_positive(density_g_cm3: float) -> None:
    with pytest.raises(ImpossibleMaterialError):
        made(density_g_cm3, H=1.0)


def test_fractions_must_sum_to_one() -> None:
    with pytest.raises(ImpossibleMaterialError) as failure:
        made(1.0, H=0.5, O=0.4)
    assert failure.value.fraction_sum == pytest.approx(0.9)


@pytest.mark.parametrize("hydrogen", [-0.2, 0.0])
def test_every_fraction_must_be_positive(hydrogen: float) -> None:
    with pytest.raises(ImpossibleMaterialError):
        made(1.0, H=hydrogen, O=1.0 - hydrogen)


def test_volumes_add() -> None:
    bone, marrow = made(2.0, Ca=1.0), made(1.0, C=1.0)
    mixed = mixed_by_volume("half", {bone: 1.0, marrow: 1.0})
    assert mixed.density_g_cm3 == pytest.approx(1.5)
    assert dict(mixed.mass_fractions) == pytest.approx({"Ca": 2.0 / 3.0, "C": 1.0 / 3.0})


def test_a_part_of_a_mixture_must_be_there() -> None:
    with pytest.raises(ImpossibleMaterialError):
        mixed_by_volume("odd", {material("water"): 1.0, material("air"): -0.1})

"""Attenuation by the mixture rule."""

import csv
from pathlib import Path

import numpy as np
import pytest

from bitewright.physics.attenuation import EnergyOutOfRangeError, mass_attenuation_cm2_g, mu_per_cm
from bitewright.physics.materials import material, mixed_by_volume

OUR_NAME = {
    "soft_tissue_ICRU44": "soft_tissue",
    "muscle_skeletal_ICRU44": "muscle",
    "cortical_bone_ICRU44": "cortical_bone",
    "mandible_spongiosa_ICRP110F": "mandible_spongiosa",
    "whole_tooth_ICRP110": "whole_tooth",
    "enamel_96HA_3W_1org": "enamel",
    "dentin_70HA_20org_10W": "dentine",
    "PMMA": "pmma",
}


def test_linear_is_mass_times_density() -> None:
    lead = material("lead")
    energies_kev = np.array([30.0, 60.0])
    assert mu_per_cm(lead, energies_kev) == pytest.approx(
        11.35 * mass_attenuation_cm2_g(lead, energies_kev)
    )


def test_volumes_mix_linearly() -> None:
    water, bone = material("water"), material("cortical_bone")
    mixed = mixed_by_volume("wet bone", {water: 0.25, bone: 0.75})
    energies_kev = np.linspace(15.0, 70.0, 12)
    expected = 0.25 * mu_per_cm(water, energies_kev) + 0.75 * mu_per_cm(bone, energies_kev)
    assert mu_per_cm(mixed, energies_kev) == pytest.approx(expected, rel=1e-9)


def test_an_absorption_edge_is_kept() -> None:
    below, above = mass_attenuation_cm2_g(material("amalgam"), [25.4, 25.6])  # silver: 25.51 keV
    assert above > 1.3 * below


@pytest.mark.parametrize("energy_kev", [0.5, 250.0, 30_000.0, float("nan")])
def test_energies_outside_the_table_are_refused(energy_kev: float) -> None:
    with pytest.raises(EnergyOutOfRangeError, match="keV"):
        mu_per_cm(material("water"), energy_kev)


def test_five_millimetres_of_cortical_bone_at_40_kev() -> None:
    passed = np.exp(-mu_per_cm(material("cortical_bone"), 40.0) * 0.5)
    assert passed == pytest.approx(0.528, abs=0.0005)  # exp(-0.6655 x 1.92 x 0.5), NIST row


def test_two_millimetres_of_aluminium_at_30_kev() -> None:
    passed = np.exp(-mu_per_cm(material("aluminium"), 30.0) * 0.2)
    assert passed == pytest.approx(0.544, abs=0.0005)  # exp(-1.128 x 2.699 x 0.2), NIST row


@pytest.mark.realdata
def test_the_table_of_published_facts(shared_data: Path) -> None:
    text = (shared_data / "facts" / "attenuation.csv").read_text(encoding="utf-8")
    rows = list(csv.DictReader(text.splitlines()))
    assert len(rows) > 100
    for row in rows:
        name = OUR_NAME.get(row["material"], row["material"])
        ours = mass_attenuation_cm2_g(material(name), float(row["energy_keV"]))[0]
        assert ours == pytest.approx(float(row["mu_over_rho_cm2_g"]), rel=2e-3), row

"""Mass attenuation of cortical bone against the NIST row that was read."""

from bitewright.physics.attenuation import mass_attenuation_cm2_g
from bitewright.physics.materials import material
from tests.published.against import check, read_source

SOURCE = read_source("nistir_5632_bone")


def computed() -> dict[str, float]:
    return {
        value.name: float(
            mass_attenuation_cm2_g(material("cortical_bone"), energy_kev(value.name))[0]
        )
        for value in SOURCE.values
    }


def energy_kev(name: str) -> float:
    """The energy in "cortical bone at 40 keV"."""
    return float(name.split()[-2])


def test_agrees_with_the_source() -> None:
    check(SOURCE, computed())

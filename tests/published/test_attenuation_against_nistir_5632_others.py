"""Mass attenuation of aluminium, lead and water against NIST rows from memory."""

from bitewright.physics.attenuation import mass_attenuation_cm2_g
from bitewright.physics.materials import material
from tests.published.against import check, read_source

SOURCE = read_source("nistir_5632_others")


def computed() -> dict[str, float]:
    """Names read "lead at 40 keV"."""
    words = {value.name: value.name.split() for value in SOURCE.values}
    return {
        name: float(mass_attenuation_cm2_g(material(word[0]), float(word[2]))[0])
        for name, word in words.items()
    }


def test_agrees_with_the_source() -> None:
    check(SOURCE, computed())

"""Half-value layers of reference beams kept at the BIPM, near dental voltages."""

from bitewright.physics.materials import material
from bitewright.physics.spectrum import Spectrum, tube_spectrum
from tests.published.against import check, read_source
from trials.beam_quality import half_value_layer_mm

SOURCE = read_source("bipm_beams")
WINDOW_MM_BE = 3.0


def computed() -> dict[str, float]:
    aluminium, copper = material("aluminium"), material("copper")
    soft, hard = beam(50.0, 1.008, 500.0), beam(50.0, 3.989, 500.0)
    high = beam(100.0, 3.431, 1150.0)
    return {
        "50 kV behind 1.008 mm aluminium": half_value_layer_mm(soft, aluminium),
        "50 kV behind 3.989 mm aluminium": half_value_layer_mm(hard, aluminium),
        "100 kV behind 3.431 mm aluminium": half_value_layer_mm(high, copper),
    }


def beam(voltage_kv: float, filtration_mm_al: float, air_mm: float) -> Spectrum:
    """Through the beryllium window, the aluminium and the air up to the chamber."""
    from_tube = tube_spectrum(voltage_kv, filtration_mm_al=filtration_mm_al)
    behind_window = from_tube.filtered(material("beryllium"), WINDOW_MM_BE)
    return behind_window.filtered(material("air"), air_mm)


def test_agrees_with_the_source() -> None:
    check(SOURCE, computed())

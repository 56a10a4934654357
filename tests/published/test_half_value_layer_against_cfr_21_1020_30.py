"""Tubes with the least filtration in use meet the half-value layers the law asks for."""

from bitewright.physics.spectrum import tube_spectrum
from tests.published.against import check, compare, read_source
from trials.beam_quality import half_value_layer_mm_al

SOURCE = read_source("cfr_21_1020_30")


def computed() -> dict[str, float]:
    """With total filtration of 1.5 mm aluminium up to 70 kV and 2.5 above."""
    return {
        f"least half-value layer at {kv:.0f} kV": half_value_layer_mm_al(
            tube_spectrum(kv, filtration_mm_al=1.5 if kv <= 70.0 else 2.5)
        )
        for kv in (70.0, 80.0, 90.0, 100.0)
    }


def test_lies_not_far_above_the_floor() -> None:
    check(SOURCE, computed())
    assert all(line.ours > line.published.value for line in compare(SOURCE, computed()))

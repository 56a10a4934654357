"""Packaged tubes against the limits regulations set; these pages list limits, not measurements."""

import pytest

from bitewright.equipment import FieldShape, packaged_catalogue
from tests.published.against import check, read_source

SOURCE = read_source("beam_limits")
LEAST_FILTRATION_MM_AL = {70.0: 1.5, 100.0: 2.5}  # up to that voltage; RP 136, NRPB 2001 (seen)


def computed() -> dict[str, float]:
    tubes = packaged_catalogue().tubes.values()
    rectangular = packaged_catalogue().tube("rectangular-300")
    film = packaged_catalogue().receptor("film-2")
    ring_mm = packaged_catalogue().holder("ring-holder").ring_to_receptor_mm
    long_mm, short_mm = rectangular.field_sides_mm(rectangular.source_to_end_mm + ring_mm)
    at = "rectangular field at 360 mm"
    return {
        "shortest source to tube end of the packaged tubes": min(
            tube.source_to_end_mm for tube in tubes
        ),
        "widest round field of the packaged tubes at the tube end": max(
            tube.field_diameter_mm or 0 for tube in tubes
        ),
        f"{at}, long side, for a size 2 film": long_mm,
        f"{at}, short side, for a size 2 film": short_mm,
        f"{at} beyond a size 2 film, long side": long_mm - film.active_long_mm,
        f"{at} beyond a size 2 film, short side": short_mm - film.active_short_mm,
    }


def test_agrees_with_the_source() -> None:
    check(SOURCE, computed())


def test_the_distance_meant_is_the_ring_holders() -> None:
    rectangular = packaged_catalogue().tube("rectangular-300")
    ring_mm = packaged_catalogue().holder("ring-holder").ring_to_receptor_mm
    assert rectangular.field is FieldShape.RECTANGULAR
    assert rectangular.source_to_end_mm + ring_mm == 360.0


@pytest.mark.parametrize("name", packaged_catalogue().tubes)
def test_filtration_is_enough_for_the_voltage(name: str) -> None:
    tube = packaged_catalogue().tube(name)
    least = next(mm for kv, mm in LEAST_FILTRATION_MM_AL.items() if tube.kv <= kv)
    assert tube.filtration_mm_al >= least

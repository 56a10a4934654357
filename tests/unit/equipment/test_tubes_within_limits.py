"""Packaged tubes keep within the limits regulations set; the catalogue itself allows more.

Limits are one-sided, so they are no figures to agree with and stand here, not among the published
values.
"""

import pytest

from bitewright.equipment import FieldShape, packaged_catalogue

LEAST_SOURCE_TO_SKIN_MM = 200.0  # IEC 60601-2-65, RP 136, NRPB 2001 (memory); 180 in the US (seen)
GREATEST_DIAMETER_MM = 60.0  # RP 136, NRPB 2001 (memory); 70 in the US (memory)
GREATEST_FIELD_MM = (50.0, 40.0)  # NRPB 2001 (memory)
GREATEST_EXCESS_MM = 5.0  # both edges together, NRPB 2001 (memory)
EXCESS_PER_DISTANCE = 0.02  # each side, NCRP 145, 2003 (seen quoted)
LEAST_FILTRATION_MM_AL = {70.0: 1.5, 100.0: 2.5}  # up to that voltage, RP 136, NRPB 2001 (seen)
USUAL_KV = (60.0, 70.0)  # RP 136 (memory)
TUBES = packaged_catalogue().tubes


@pytest.mark.parametrize("name", TUBES)
def test_distance_voltage_and_filtration(name: str) -> None:
    tube = TUBES[name]
    least = next(mm for kv, mm in LEAST_FILTRATION_MM_AL.items() if tube.kv <= kv)
    assert tube.source_to_end_mm >= LEAST_SOURCE_TO_SKIN_MM
    assert tube.filtration_mm_al >= least
    assert USUAL_KV[0] <= tube.kv <= USUAL_KV[1]


def test_round_fields_are_small_enough() -> None:
    diameters = [t.field_diameter_mm for t in TUBES.values() if t.field is FieldShape.ROUND]
    assert diameters
    assert all(diameter is not None and diameter <= GREATEST_DIAMETER_MM for diameter in diameters)


def test_the_rectangular_field_covers_a_size_2_receptor_and_little_more() -> None:
    tube = TUBES["rectangular-300"]
    film = packaged_catalogue().receptor("film-2")
    distance_mm = tube.source_to_end_mm
    distance_mm += packaged_catalogue().holder("ring-holder").ring_to_receptor_mm
    receptor = (film.active_long_mm, film.active_short_mm)
    growth = distance_mm / tube.source_to_end_mm
    sides = (growth * (tube.field_long_mm or 0.0), growth * (tube.field_short_mm or 0.0))
    for field_mm, receptor_mm, greatest_mm in zip(sides, receptor, GREATEST_FIELD_MM, strict=True):
        excess_mm = field_mm - receptor_mm
        assert 0 < excess_mm <= min(GREATEST_EXCESS_MM, EXCESS_PER_DISTANCE * distance_mm)
        assert field_mm <= greatest_mm

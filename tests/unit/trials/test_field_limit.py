"""The 2 % rule, and areas of fields."""

import pytest

from trials.field_limit import Field, circle_area_cm2, largest_field


@pytest.mark.parametrize(
    ("source_receptor_mm", "long_mm", "short_mm"), [(400.0, 49.0, 39.0), (300.0, 47.0, 37.0)]
)
def test_largest_field_for_size_2(
    source_receptor_mm: float, long_mm: float, short_mm: float
) -> None:
    field = largest_field(long_mm=41.0, short_mm=31.0, source_receptor_mm=source_receptor_mm)
    assert (field.long_mm, field.short_mm) == pytest.approx((long_mm, short_mm))


@pytest.mark.parametrize(("diameter_mm", "area_cm2"), [(70.0, 38.5), (60.0, 28.3)])
def test_round_fields(diameter_mm: float, area_cm2: float) -> None:
    assert circle_area_cm2(diameter_mm) == pytest.approx(area_cm2, abs=0.05)


def test_a_rectangle_to_the_rule_halves_the_field() -> None:
    field = Field(long_mm=49.0, short_mm=39.0)
    assert field.area_cm2 / circle_area_cm2(70.0) == pytest.approx(0.50, abs=0.005)

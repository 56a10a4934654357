"""Distance and intensity."""

import pytest

from bitewright.physics.inverse_square import (
    DistanceNotPositiveError,
    intensity_ratio,
    time_ratio_for_same_density,
)


def test_from_8_to_16_inches_a_quarter_is_left() -> None:
    assert intensity_ratio(from_mm=8 * 25.4, to_mm=16 * 25.4) == pytest.approx(0.25)


def test_and_four_times_the_time_makes_up_for_it() -> None:
    assert time_ratio_for_same_density(from_mm=8 * 25.4, to_mm=16 * 25.4) == pytest.approx(4.0)


@pytest.mark.parametrize(("from_mm", "to_mm"), [(0.0, 100.0), (100.0, 0.0), (-1.0, 100.0)])
def test_distances_must_be_positive(from_mm: float, to_mm: float) -> None:
    with pytest.raises(DistanceNotPositiveError):
        intensity_ratio(from_mm=from_mm, to_mm=to_mm)

"""A plan's room in steps a hand can set, never more than there is."""

from dataclasses import replace

import pytest

from bitewright.planning.tolerance import Slip, SlipWay
from bitewright.words.plans import SLIP_WORDS, slip_distance

TUBE = Slip(
    movement=SlipWay.TUBE_BACK,
    unit="deg",
    until_short=None,
    short_criterion=None,
    until_failed=None,
    failed_criterion=None,
    tried=30.0,
)
RECEPTOR = replace(TUBE, movement=SlipWay.RECEPTOR_BACK, unit="mm", tried=15.0)


@pytest.mark.parametrize(
    ("slip", "value", "said"),
    [
        (TUBE, None, "not within 30 degrees"),
        (TUBE, 6.75, "6 degrees"),
        (TUBE, 1.25, "1 degree"),
        (TUBE, 0.75, "less than 1 degree"),
        (RECEPTOR, 3.375, "3 mm"),
        (RECEPTOR, 4.625, "4.5 mm"),
        (RECEPTOR, 0.375, "less than 0.5 mm"),
    ],
)
def test_room_is_rounded_down_to_what_a_hand_can_set(
    slip: Slip, value: float | None, said: str
) -> None:
    assert slip_distance(value, slip) == said


def test_every_movement_has_words() -> None:
    assert set(SLIP_WORDS) == set(SlipWay)

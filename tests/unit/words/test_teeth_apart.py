"""Teeth that stood apart are told as surely as that is known, and with what they measure."""

import pytest

from bitewright.explanation.correction import Estimated, HeldApart, Movement, Need, Part
from bitewright.words.movement_rows import movement_row
from bitewright.words.movements import hand_words

RIM_RADIUS_MM = 60.0
CLOSING = Estimated(value=2.7, low=1.5, high=3.9)
LOWER = Movement(
    part=Part.HEIGHT, needed=Estimated(value=-3.0, low=-4.0, high=-2.0), need=Need.MOVE
)


def closing(measured_mm: float | None, need: Need = Need.MOVE) -> Movement:
    return Movement(part=Part.CLOSURE, needed=CLOSING, need=need, measured_mm=measured_mm)


def words(movement: Movement, held: HeldApart | None = None, *, how_far: bool = True) -> str:
    return hand_words(movement, rim_radius_mm=RIM_RADIUS_MM, how_far=how_far, held_by=held)


@pytest.mark.parametrize("is_sure", [True, False])
def test_what_held_the_receptor_is_told_as_surely_as_it_is_known(*, is_sure: bool) -> None:
    by_height, by_place = (
        HeldApart(by=part, is_sure=is_sure) for part in (Part.HEIGHT, Part.FORWARD)
    )
    said = [
        words(LOWER, by_height),
        words(Movement(part=Part.FORWARD, needed=LOWER.needed, need=Need.MOVE), by_place),
        movement_row(closing(None, Need.STAY), rim_radius_mm=RIM_RADIUS_MM, held_by=by_height).need,
        movement_row(
            Movement(part=Part.HEIGHT, needed=LOWER.needed, need=Need.STAY),
            rim_radius_mm=RIM_RADIUS_MM,
            held_by=by_place,
        ).need,
    ]
    assert all("held" in each or "holds" in each for each in said)
    assert [("perhaps" in each) for each in said] == [not is_sure] * len(said)


def test_closing_that_may_be_needed_is_not_told_as_no() -> None:
    held = HeldApart(by=Part.HEIGHT, is_sure=False)
    row = movement_row(closing(None, Need.PERHAPS), rim_radius_mm=RIM_RADIUS_MM, held_by=held)
    assert row.need == "perhaps, or the receptor holds them apart"


def test_teeth_that_measure_otherwise_are_told_with_what_they_measure() -> None:
    assert "though the rows of cusps measure about 4 mm more than" in words(closing(4.3))
    for measured_mm in (None, 3.2, 1.0):
        assert "measure" not in words(closing(measured_mm))
    assert "measure" not in words(closing(4.3), how_far=False)


def test_teeth_that_cannot_close_get_a_smaller_receptor() -> None:
    assert words(closing(None)).endswith(
        "; where palate or floor stops them, take a smaller receptor"
    )

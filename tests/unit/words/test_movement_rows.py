"""Rows of the table of movements tell no more than is known."""

from bitewright.explanation.correction import Part
from bitewright.words.movement_rows import movement_row
from tests.sample_corrections import RIM_RADIUS_MM, correction_of, unsure


def test_a_table_row_tells_no_angle_that_no_mouth_has_room_for() -> None:
    """As of a receptor's front end, of which few marks say nothing: 21 and 73 degrees."""
    wide = unsure(correction_of({}), Part.TURN, value=26.0, spread=47.0).of(Part.TURN)
    row = movement_row(wide, rim_radius_mm=RIM_RADIUS_MM)
    assert (row.about, row.between, row.need) == (
        "cannot be told",
        "cannot be told",
        "cannot tell",
    )
    narrower = unsure(correction_of({}), Part.TURN, value=6.0, spread=29.0).of(Part.TURN)
    row = movement_row(narrower, rim_radius_mm=RIM_RADIUS_MM)
    assert row.about == "6 degrees to the opposite canine"
    assert row.between == "23 degrees to the teeth and 35 degrees to the opposite canine"


def test_a_table_row_says_both_ways_where_both_are_open() -> None:
    open_swing = unsure(correction_of({}), Part.SWING, value=-1.0, spread=4.0).of(Part.SWING)
    row = movement_row(open_swing, rim_radius_mm=RIM_RADIUS_MM)
    assert row.between == "5 degrees to the back and 3 degrees to the front"
    assert row.need == "cannot tell"
    needed = correction_of({Part.SWING: -7.0}).of(Part.SWING)
    row = movement_row(needed, rim_radius_mm=RIM_RADIUS_MM)
    assert (row.about, row.between, row.need) == (
        "7 degrees to the back; 7 mm at the rim",
        "5 and 9 degrees",
        "yes",
    )

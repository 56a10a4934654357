"""Teeth held apart by the receptor's place: told as needed only where that is sure."""

import pytest

from bitewright.explanation.correction import CauseName, Estimated, Need, Part
from bitewright.explanation.held_apart import SURE_ENOUGH, SURELY, freed_teeth, held_by
from bitewright.explanation.likeliest_faults import FaultFound

SIZE = Estimated(value=3.0, low=2.0, high=4.0)
APART = Estimated(value=1.5, low=0.5, high=2.5)
LITTLE = Estimated(value=0.1, low=-1.0, high=1.0)


def faults(too_high: float) -> dict[CauseName, FaultFound]:
    rest = dict.fromkeys(CauseName, FaultFound(chance=0.02, size=SIZE))
    return rest | {CauseName.RECEPTOR_TOO_HIGH: FaultFound(chance=too_high, size=SIZE)}


@pytest.mark.parametrize(
    ("chance", "height", "closure"),
    [
        (0.5 * (SURE_ENOUGH + SURELY), Need.PERHAPS, Need.PERHAPS),
        (0.5 * (1.0 + SURELY), Need.MOVE, Need.STAY),
    ],
)
def test_a_receptor_that_may_hold_teeth_apart_is_told_as_surely_as_that(
    chance: float, height: Need, closure: Need
) -> None:
    amounts = {**dict.fromkeys(Part, LITTLE), Part.CLOSURE: APART}
    needs = dict.fromkeys(Part, Need.STAY)
    found = faults(chance)
    held = held_by(amounts, found)
    assert held is not None
    assert held.by is Part.HEIGHT
    of_hand = freed_teeth(held, amounts, dict(amounts), needs, found)
    assert (needs[Part.HEIGHT], needs[Part.CLOSURE]) == (height, closure)
    assert (Part.CLOSURE in of_hand) is not held.is_sure
    assert amounts[Part.HEIGHT].value == -SIZE.value


def test_nothing_holds_teeth_apart_that_are_closed_or_that_no_fault_explains() -> None:
    closed = dict.fromkeys(Part, LITTLE)
    assert held_by(closed, faults(0.95)) is None
    assert held_by({**closed, Part.CLOSURE: APART}, faults(SURE_ENOUGH - 0.1)) is None

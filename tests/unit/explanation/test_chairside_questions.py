"""What an answer from the chairside does to causes, and which question is asked; worked by hand."""

import numpy as np
import pytest

from bitewright.estimation.exposure_unknowns import NAMES
from bitewright.explanation.chairside_answers import OF_A_RING, ChairsideQuestion
from bitewright.explanation.chairside_questions import (
    answered_amounts,
    foresaw,
    most_telling,
    yes_chances,
)
from bitewright.explanation.correction import CauseName, Estimated, Part
from bitewright.explanation.hand_faults import FAULT_OF, FAULTS
from bitewright.explanation.likeliest_faults import FaultStates, likeliest_faults
from tests.unit.explanation.test_likeliest_faults import states_of

SURELY = 1e-6


def states(*faults: dict[Part, float], chance: tuple[float, ...]) -> FaultStates:
    """Combinations of faults of known sizes, all else where it should be. [deg, mm]"""
    best = np.zeros((len(faults), len(NAMES)))
    signs = np.zeros((len(faults), len(FAULTS)), dtype=np.int64)
    for row, fault in enumerate(faults):
        for part, off in fault.items():
            signs[row, FAULT_OF[part]] = np.sign(off)
            best[row, FAULTS[FAULT_OF[part]].column] = off
    return FaultStates(
        signs=signs,
        held=np.zeros(len(faults), dtype=np.bool_),
        chance=np.array(chance),
        best=best,
        covariance=np.tile(SURELY * np.eye(len(NAMES)), (len(faults), 1, 1)),
        right_place=np.zeros(len(NAMES)),
    )


TUBE_OR_LOW = states({Part.SWING: 10.0}, {Part.HEIGHT: -3.0}, chance=(0.5, 0.5))


def test_a_gap_speaks_for_the_tube_as_much_as_answers_and_turned_receptors_allow() -> None:
    """Of tubes off 3 in 4 leave a gap, 1 answer in 10 is wrong: 0.7 and 0.1 say yes."""
    likely = foresaw(TUBE_OR_LOW, {ChairsideQuestion.GAP_ALONG: True})
    assert likely == pytest.approx([0.7, 0.1])
    faults = likeliest_faults(TUBE_OR_LOW, likely)
    assert faults[CauseName.TUBE_TOO_FAR_FORWARD].chance == pytest.approx(7.0 / 8.0)


def test_one_look_at_rim_and_ring_counts_once() -> None:
    gap = {ChairsideQuestion.GAP_ALONG: True}
    off = foresaw(TUBE_OR_LOW, {ChairsideQuestion.RIM: False, **gap})
    assert off == pytest.approx(foresaw(TUBE_OR_LOW, gap))
    flush = {ChairsideQuestion.RIM: True}
    none = foresaw(TUBE_OR_LOW, {ChairsideQuestion.GAP_ALONG: False, **flush})
    assert none == pytest.approx(foresaw(TUBE_OR_LOW, flush))
    apart = foresaw(TUBE_OR_LOW, {ChairsideQuestion.BITE: True, **gap})
    assert apart != pytest.approx(foresaw(TUBE_OR_LOW, gap))


def test_a_flush_rim_leaves_the_tube_the_receptors_that_were_turned() -> None:
    likely = foresaw(TUBE_OR_LOW, {ChairsideQuestion.RIM: True})
    assert likely == pytest.approx([0.3, 0.9])
    assert likeliest_faults(TUBE_OR_LOW, likely)[
        CauseName.TUBE_TOO_FAR_FORWARD
    ].chance == pytest.approx(0.25)


@pytest.mark.parametrize(
    ("part", "off", "question", "is_yes"),
    [
        (Part.VERTICAL, 12.0, ChairsideQuestion.GAP_ABOVE, 0.75),
        (Part.VERTICAL, 12.0, ChairsideQuestion.GAP_ALONG, 0.0),
        (Part.FORWARD, 5.0, ChairsideQuestion.FRONT, 1.0),
        (Part.FORWARD, 5.0, ChairsideQuestion.BACK, 0.0),
        (Part.FORWARD, -5.0, ChairsideQuestion.BACK, 1.0),
        (Part.HEIGHT, 3.0, ChairsideQuestion.HIGH, 1.0),
        (Part.HEIGHT, -3.0, ChairsideQuestion.HIGH, 0.0),
        (Part.HEIGHT, -3.0, ChairsideQuestion.LOW, 1.0),
        (Part.ROLL, -8.0, ChairsideQuestion.LEVEL, 0.0),
        (Part.HEIGHT, -3.0, ChairsideQuestion.LEVEL, 1.0),
    ],
)
def test_each_fault_is_seen_by_its_own_question(
    part: Part, off: float, question: ChairsideQuestion, is_yes: float
) -> None:
    assert yes_chances(states({part: off}, chance=(1.0,)), question) == pytest.approx([is_yes])


def test_teeth_held_off_do_not_touch_the_block() -> None:
    apart = states_of({}, apart_mm=(4.0, 0.1))
    shut = states_of({}, apart_mm=(0.1, 0.1))
    touch = [
        float(each.chance @ yes_chances(each, ChairsideQuestion.BITE)) for each in (apart, shut)
    ]
    assert touch[0] < 0.05
    assert touch[1] > 0.95


def test_no_answer_changes_nothing() -> None:
    assert foresaw(TUBE_OR_LOW, {}) is None


def test_the_question_that_splits_the_two_is_asked_and_not_twice() -> None:
    """The height's answers split the two wholly, the rim's in three of four."""
    asked = most_telling(TUBE_OR_LOW, {}, ring=True)
    assert asked is ChairsideQuestion.LOW
    then = most_telling(TUBE_OR_LOW, {ChairsideQuestion.LOW: True}, ring=True)
    assert then is ChairsideQuestion.GAP_ALONG


def test_without_a_ring_no_rim_is_asked_about_nor_where_it_was_flush() -> None:
    tubes = states({Part.SWING: 10.0}, {Part.VERTICAL: 12.0}, chance=(0.5, 0.5))
    assert most_telling(tubes, {}, ring=True) in OF_A_RING
    assert most_telling(tubes, {}, ring=False) is None
    assert most_telling(tubes, {ChairsideQuestion.RIM: True}, ring=True) is None


def test_once_all_is_answered_nothing_is_asked() -> None:
    """It ended in an error."""
    every = dict.fromkeys(ChairsideQuestion, False)
    without_ring = {each: False for each in every if each not in OF_A_RING}
    assert most_telling(TUBE_OR_LOW, every, ring=True) is None
    assert most_telling(TUBE_OR_LOW, without_ring, ring=False) is None


def test_where_one_cause_is_all_but_certain_nothing_is_asked() -> None:
    certain = states({Part.SWING: 10.0}, {Part.HEIGHT: -3.0}, chance=(0.999, 0.001))
    assert most_telling(certain, {}, ring=True) is None


def test_movements_go_with_the_answer_and_keep_their_intervals_width() -> None:
    """After "too low": 0.9 to 0.1, so the receptor is 1.2 mm lower than by half and half."""
    amounts = {fault.part: Estimated(value=1.0, low=-1.0, high=3.0) for fault in FAULTS} | {
        Part.CLOSURE: Estimated(value=0.0, low=-1.0, high=1.0)
    }
    likely = foresaw(TUBE_OR_LOW, {ChairsideQuestion.LOW: True})
    assert likely is not None
    moved = answered_amounts(amounts, TUBE_OR_LOW, likely)
    assert moved[Part.HEIGHT].value == pytest.approx(1.0 + 3.0 * 0.4)
    assert moved[Part.SWING].value == pytest.approx(1.0 + 10.0 * 0.4)
    assert moved[Part.HEIGHT].high - moved[Part.HEIGHT].low == pytest.approx(4.0)
    assert moved[Part.CLOSURE] == amounts[Part.CLOSURE]

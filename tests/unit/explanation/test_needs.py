"""What is told of a film that serves, what comes first of another, and which marks to check."""

import pytest

from bitewright.estimation.left_out import MarksLeftOut
from bitewright.explanation.correction import Estimated, Movement, Need, Part, Verdict
from bitewright.explanation.doubtful_marks import doubtful_marks
from bitewright.explanation.needs import AsMarked, need_of, need_of_serving, verdict_of
from bitewright.explanation.purpose_first import MENDED_BY, purpose_first
from bitewright.quality.criteria import CriterionName

AT_THE_LIMIT = Estimated(value=4.6, low=0.2, high=9.0)
FIRM = Estimated(value=8.0, low=4.0, high=12.0)
EITHER_WAY = Estimated(value=0.0, low=-14.0, high=14.0)


def test_of_a_film_that_serves_only_what_is_surely_worth_moving_is_needed() -> None:
    need = need_of(Part.FORWARD, AT_THE_LIMIT)
    assert need is Need.MOVE
    assert need_of_serving(Part.FORWARD, AT_THE_LIMIT, need) is Need.PERHAPS
    assert need_of_serving(Part.FORWARD, FIRM, need_of(Part.FORWARD, FIRM)) is Need.MOVE


def test_what_cannot_be_told_is_not_asked_of_a_film_that_serves() -> None:
    assert verdict_of(EITHER_WAY, (), serves=False) is Verdict.CANNOT_TELL
    assert verdict_of(EITHER_WAY, (), serves=True) is Verdict.NOTHING


def test_only_a_slope_that_is_known_to_be_small_is_level() -> None:
    assert not AsMarked().is_level
    assert AsMarked(slope_deg=1.0).is_level
    assert not AsMarked(slope_deg=-8.0).is_level


def test_what_mends_what_the_film_lacked_comes_first() -> None:
    forward, swing, roll = (
        Movement(part=part, needed=FIRM, need=Need.MOVE)
        for part in (Part.FORWARD, Part.SWING, Part.ROLL)
    )
    every = (forward, swing, roll)
    assert purpose_first(every, [CriterionName.CONTACTS_OPEN]) == (swing, forward, roll)
    assert purpose_first(every, [CriterionName.LEVEL]) == (roll, forward, swing)
    assert purpose_first(every, []) == every


def test_every_criterion_is_mended_by_some_movement() -> None:
    assert set(MENDED_BY) == set(CriterionName)


@pytest.mark.parametrize(
    ("name", "off", "named"),
    [("15.mesial", 2.5, True), ("15.buccal.cusp", 2.5, False), ("15.buccal.cusp", 3.3, True)],
)
def test_an_edge_is_doubted_sooner_than_a_cusp(name: str, off: float, *, named: bool) -> None:
    beside = MarksLeftOut(off_sd={name: off, "16.distal": 1.0}, contacts=())
    assert doubtful_marks(beside) == ((name,) if named else ())

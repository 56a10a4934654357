"""What is told of a film that serves, what comes first of another, and which marks to check."""

from dataclasses import replace

import numpy as np
import pytest

from bitewright.estimation.left_out import MarkBeside, MarksLeftOut
from bitewright.explanation.correction import Estimated, Movement, Need, Part, Verdict
from bitewright.explanation.doubtful_marks import doubtful_marks
from bitewright.explanation.furthest import FURTHEST
from bitewright.explanation.needs import (
    AsMarked,
    is_swing_open,
    need_of,
    need_of_serving,
    verdict_of,
)
from bitewright.explanation.purpose_first import MENDED_BY, purpose_first
from bitewright.explanation.unusual_mouths import is_at_its_bound
from bitewright.marking.picture_borders import PLACES_MM, PictureBorders
from bitewright.quality.criteria import CriterionName
from bitewright.words.movement_rows import movement_row
from bitewright.words.movements import interval

AT_THE_LIMIT = Estimated(value=4.6, low=0.4, high=9.0)
FIRM = Estimated(value=8.0, low=4.0, high=12.0)
EITHER_WAY = Estimated(value=0.0, low=-14.0, high=14.0)


def test_of_a_film_that_serves_only_what_is_surely_worth_moving_is_needed() -> None:
    need = need_of(Part.FORWARD, AT_THE_LIMIT)
    assert need is Need.MOVE
    assert need_of_serving(Part.FORWARD, AT_THE_LIMIT, need) is Need.PERHAPS
    assert need_of_serving(Part.FORWARD, FIRM, need_of(Part.FORWARD, FIRM)) is Need.MOVE


@pytest.mark.parametrize(("part", "unit"), [(Part.VERTICAL, "deg"), (Part.FORWARD, "mm")])
@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_what_is_told_from_nought_on_is_perhaps(part: Part, unit: str, sign: float) -> None:
    """A movement was told as needed, "between 0 and 13 degrees"."""
    needs = set()
    for low in np.arange(0.05, 1.0, 0.1):
        ends = sorted((sign * low, sign * 13.0))
        amount = Estimated(value=sign * 6.5, low=ends[0], high=ends[1])
        from_nought = interval(amount, unit).startswith("0 to")
        assert need_of(part, amount) is (Need.PERHAPS if from_nought else Need.MOVE)
        needs.add(need_of(part, amount))
    assert needs == {Need.PERHAPS, Need.MOVE}


@pytest.mark.parametrize("part", [Part.TURN, Part.TILT])
@pytest.mark.parametrize("turn_deg", [16.0, -16.0, 40.0])
def test_no_turn_or_tilt_of_the_receptor_is_told_as_needed_nor_by_how_much(
    part: Part, turn_deg: float
) -> None:
    """Of a film whose every contact was open it was told by 40 degrees."""
    amount = Estimated(value=turn_deg, low=turn_deg - 5.0, high=turn_deg + 5.0)
    assert need_of(part, amount) is Need.UNSURE
    row = movement_row(
        Movement(part=part, needed=amount, need=need_of(part, amount)), rim_radius_mm=60.0
    )
    assert (row.about, row.between, row.need) == (
        "cannot be told",
        "cannot be told",
        "cannot tell",
    )


@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_a_swing_whose_interval_lies_to_one_side_is_told_however_wide_it_is(sign: float) -> None:
    """The answer said that no way was told, and the table told one: rightly on 65 of 67 films."""
    wide = Estimated(value=sign * 20.0, low=sign * 20.0 - 18.0, high=sign * 20.0 + 18.0)
    swing = Movement(part=Part.SWING, needed=wide, need=need_of(Part.SWING, wide))
    assert verdict_of(wide, (swing,), serves=False) is Verdict.MOVE
    past_nought = replace(wide, low=wide.low - sign * 4.0, high=wide.high - sign * 4.0)
    assert verdict_of(past_nought, (swing,), serves=False) is Verdict.CANNOT_TELL
    assert [is_swing_open(each, serves=False) for each in (wide, past_nought)] == [False, True]


@pytest.mark.parametrize(
    ("share", "sign", "is_there"), [(0.95, 1.0, True), (0.95, -1.0, True), (0.8, 1.0, False)]
)
@pytest.mark.parametrize("part", [Part.SWING, Part.TURN, Part.FORWARD])
def test_an_amount_next_to_the_furthest_that_a_mouth_allows_is_at_its_bound(
    part: Part, share: float, sign: float, *, is_there: bool
) -> None:
    values = dict.fromkeys(Part, 0.0) | {part: sign * share * FURTHEST[part]}
    assert is_at_its_bound(values, FURTHEST) is is_there


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


def beside(along_mm: float, height_mm: float, sd_mm: tuple[float, float]) -> MarkBeside:
    return MarkBeside(off_mm=np.array([along_mm, height_mm]), covariance=np.diag(np.square(sd_mm)))


@pytest.mark.parametrize(
    ("name", "off_mm", "sd_mm", "named"),
    [
        ("15.mesial", (1.1, 0.0), (0.35, 1.1), True),
        ("15.mesial", (0.0, 1.1), (0.35, 1.1), False),
        ("15.mesial.cej", (0.0, 1.3), (0.35, 0.4), True),
        ("15.buccal.cusp", (1.1, 0.0), (0.8, 0.5), False),
        ("15.buccal.cusp", (2.9, 0.0), (0.8, 0.5), True),
    ],
)
def test_a_mark_is_doubted_as_surely_as_the_others_foretell_it(
    name: str, off_mm: tuple[float, float], sd_mm: tuple[float, float], *, named: bool
) -> None:
    """An edge's height is foretold by nothing, and its overlap does not hang on it."""
    right = beside(0.1, 0.1, (0.4, 0.8))
    found = doubtful_marks(
        MarksLeftOut(marks={name: beside(*off_mm, sd_mm), "16.distal": right}, contacts=()), 1.0
    )
    assert [each.name for each in found] == ([name] if named else [])


def shown_at(place_mm: float) -> PictureBorders:
    """A picture that shows one border, so far outward of the mark."""
    near = np.abs(PLACES_MM - place_mm) < 0.15
    return PictureBorders(outward=np.where(near, 3.0, -1.5), rootward=np.zeros(len(PLACES_MM)))


@pytest.mark.parametrize("front_sign", [1.0, -1.0])
def test_the_picture_settles_what_the_other_marks_leave_open(front_sign: float) -> None:
    """A mark a millimetre too far outward, of which the others are not sure."""
    off = beside(1.0 * front_sign, 0.0, (0.6, 1.1))
    of = MarksLeftOut(marks={"15.mesial": off}, contacts=())
    assert doubtful_marks(of, front_sign) == ()
    (found,) = doubtful_marks(of, front_sign, {"15.mesial": shown_at(-1.0)})
    assert found.border_mm == pytest.approx(-1.0, abs=0.11)
    assert doubtful_marks(of, front_sign, {"15.mesial": shown_at(0.0)}) == ()


def test_a_border_at_the_mark_is_not_told_to_be_elsewhere() -> None:
    """Where all other marks lead one far away, though the picture shows a border there."""
    of = MarksLeftOut(marks={"15.mesial": beside(2.0, 0.0, (0.3, 1.1))}, contacts=())
    for borders in ({}, {"15.mesial": shown_at(0.0)}):
        (found,) = doubtful_marks(of, 1.0, borders)
        assert found.border_mm is None

"""Which fault is named first: told by what a film shows, and by what palate and floor allow."""

from collections.abc import Mapping
from functools import cache

import numpy as np
import pytest

from bitewright.estimation.exposure_unknowns import NAMES, SPREAD, hold_for, usual_unknowns
from bitewright.estimation.mouth_prior import mean_mouth
from bitewright.explanation.aim_beside_outlines import swing_beside_outlines_deg
from bitewright.explanation.correction import CauseName, Estimated, Need, Part
from bitewright.explanation.hand_faults import FAULTS
from bitewright.explanation.known_accuracy import view_kind
from bitewright.explanation.likeliest_faults import (
    Anatomy,
    FaultFound,
    FaultStates,
    FilmInformation,
    fault_states,
    likeliest_faults,
)
from bitewright.explanation.likely_causes import NO_CAUSE, as_needed, likely_causes
from bitewright.explanation.needs import need_of
from bitewright.exposing.exposure import Station, station
from bitewright.mouth.outlines import build_outlines
from bitewright.planning.best_aim import Plan, best_aim
from bitewright.quality.views import view, view_names
from trials.judged import explained
from trials.known_films import Equipment, single_fault

LIKELY = 0.7
KNOWN = {Part.SWING: 2.0, Part.VERTICAL: 2.5, Part.FORWARD: 1.0, Part.HEIGHT: 0.8, Part.ROLL: 1.0}


@cache
def plan() -> Plan:
    usual = Equipment.usual()
    at: Station = station(
        build_outlines(mean_mouth()),
        view("right-molar").region,
        usual.receptor,
        usual.holder,
        usual.tube,
    )
    return best_aim(view("right-molar"), at)


def found(
    off: Mapping[str, float], *, apart_mm: tuple[float, float] = (0.1, 0.1), height_sd: float = 0.5
) -> Mapping[CauseName, FaultFound]:
    """Faults of an exposure off its best place by this much, told well by a film."""
    return likeliest_faults(states_of(off, apart_mm=apart_mm, height_sd=height_sd))


def states_of(
    off: Mapping[str, float], *, apart_mm: tuple[float, float] = (0.1, 0.1), height_sd: float = 0.5
) -> FaultStates:
    """Combinations of faults of an exposure off its best place by this much, as a film tells."""
    at, setting = plan().station, plan().setting
    before = usual_unknowns(at)
    unknowns = before.copy()
    for name, value in off.items():
        unknowns[NAMES.index(name)] += value
    unknowns[-2:] = [hold_for(gap) for gap in apart_mm]
    needed = dict.fromkeys(Part, 0.0)
    needed |= {fault.part: -off.get(fault.unknown, 0.0) for fault in FAULTS}
    spread = np.full(len(NAMES), 0.8)
    spread[NAMES.index("height_mm")] = height_sd
    covariance = np.linalg.inv(np.diag(spread**-2.0) + np.diag(SPREAD**-2.0))
    told = FilmInformation.of(unknowns, covariance, before, KNOWN)
    return fault_states(told, Anatomy.about(setting, at.seating, unknowns, needed))


@pytest.mark.parametrize("fault", FAULTS, ids=lambda each: each.part.value)
@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_what_is_off_is_named_and_nothing_else(fault: object, sign: float) -> None:
    assert fault in FAULTS
    for each in FAULTS:
        if each is not fault:
            continue
        chances = found({each.unknown: sign * each.usual_off})
        names = [each.above, each.below][:: int(sign)]
        assert chances[names[0]].chance > LIKELY
        assert chances[names[1]].chance < 0.02
        # The prior of a careful hand takes a little of it.
        assert chances[names[0]].size.value == pytest.approx(each.usual_off, rel=0.35)
        others = [found.chance for name, found in chances.items() if name not in names]
        assert max(others) < 0.5


def test_a_careful_hand_has_no_likely_fault() -> None:
    assert max(each.chance for each in found({}).values()) < 0.3


def test_teeth_held_apart_by_a_receptor_set_high_are_put_down_to_it() -> None:
    """The palate holds down what is set too high: the film shows the gap, the height hardly."""
    high = found({"height_mm": 1.5}, apart_mm=(4.0, 0.1), height_sd=1.5)
    assert high[CauseName.RECEPTOR_TOO_HIGH].chance > high[CauseName.NOT_CLOSED].chance
    assert high[CauseName.RECEPTOR_TOO_HIGH].chance > high[CauseName.RECEPTOR_TOO_LOW].chance


def off(value: float, either: float = 3.0) -> Estimated:
    return Estimated(value=value, low=value - either, high=value + either)


def fault(chance: float, costliest: float, size: float = 8.0) -> FaultFound:
    return FaultFound(chance=chance, size=off(size), costliest=costliest)


def test_a_cause_is_named_only_where_the_table_tells_its_movement() -> None:
    faults = dict.fromkeys(CauseName, fault(0.9, 0.9))
    needs = {Part.SWING: Need.MOVE}
    (cause,) = likely_causes({Part.SWING: off(-8.0)}, faults, needs)
    assert cause.name is CauseName.TUBE_TOO_FAR_FORWARD
    assert (cause.size.low, cause.size.value, cause.size.high) == (5.0, 8.0, 11.0)
    little = {Part.HEIGHT: off(-0.7, 0.5)}
    assert likely_causes(little, faults, {Part.HEIGHT: Need.STAY}) == (NO_CAUSE,)
    assert likely_causes(little, faults, {Part.HEIGHT: Need.MOVE}) == (NO_CAUSE,)


FIRST, OTHER = CauseName.TUBE_TOO_HIGH, CauseName.RECEPTOR_TOO_HIGH
NOTHING = dict.fromkeys(CauseName, fault(0.05, 0.01))


@pytest.mark.parametrize(("costliest", "is_alone"), [(0.9, True), (0.7, False)])
def test_a_cause_is_told_alone_only_where_it_is_sure(costliest: float, *, is_alone: bool) -> None:
    amounts = {Part.VERTICAL: off(-9.0), Part.HEIGHT: off(-2.0), Part.ROLL: off(5.0)}
    needs = dict.fromkeys(amounts, Need.MOVE)
    rolled = CauseName.RECEPTOR_ROLLED_FRONT_UP
    faults = NOTHING | {
        FIRST: fault(0.9, costliest),
        OTHER: fault(0.8, 0.98 - costliest, 2.0),
        rolled: fault(0.8, 0.02, 3.0),
    }
    causes = likely_causes(amounts, faults, needs)
    assert causes[0].name is FIRST
    assert [each.is_alternative for each in causes[1:]] == [not is_alone, False]
    assert causes[1].name is OTHER
    assert causes[0].chance == costliest
    assert sum(each.weight for each in causes) == pytest.approx(1.0)


@pytest.mark.parametrize("other_is_beside", [True, False])
def test_the_cause_whose_movement_is_needed_comes_before_one_that_is_perhaps(
    *, other_is_beside: bool
) -> None:
    """The table said yes to the second, and perhaps to the first."""
    amounts = {Part.VERTICAL: off(14.0), Part.SWING: off(8.0)}
    told = dict.fromkeys(Part, Need.STAY) | dict.fromkeys(amounts, Need.MOVE)
    low, back = CauseName.TUBE_TOO_LOW, CauseName.TUBE_TOO_FAR_BACK
    chance = 0.5 if other_is_beside else 0.9
    faults = NOTHING | {low: fault(0.8, chance, 14.0), back: fault(0.7, 0.1)}
    causes = likely_causes(amounts, faults, told)
    assert [each.name for each in causes] == [low, back]
    assert causes[1].is_alternative is other_is_beside
    sure, perhaps = as_needed(causes, told | {Part.VERTICAL: Need.PERHAPS})
    assert (sure.name, perhaps.name) == (back, low)
    assert (sure.is_alternative, perhaps.is_alternative) == (False, other_is_beside)
    assert as_needed(causes, dict.fromkeys(told, Need.PERHAPS)) == causes
    assert not any(each.is_alternative for each in as_needed(causes, told))


def test_an_alternative_has_its_own_size_and_must_be_worth_moving_within_the_interval() -> None:
    """The table tells no height; by the interval the receptor may have stood too high."""
    faults = NOTHING | {FIRST: fault(0.6, 0.6), OTHER: fault(0.4, 0.3, 2.5)}
    needs = {Part.VERTICAL: Need.MOVE, Part.HEIGHT: Need.STAY}
    first, other = likely_causes(
        {Part.VERTICAL: off(-9.0), Part.HEIGHT: off(-0.5, 1.5)}, faults, needs
    )
    assert (first.is_alternative, other.is_alternative) == (False, True)
    assert (other.name, other.size.value) == (OTHER, 2.5)
    (alone,) = likely_causes({Part.VERTICAL: off(-9.0), Part.HEIGHT: off(-0.5, 0.5)}, faults, needs)
    assert alone.name is FIRST


def test_teeth_that_would_have_to_close_less_are_no_cause_and_nobody_is_told_to() -> None:
    less = off(-2.0, 1.0)
    assert need_of(Part.CLOSURE, less) is Need.STAY
    assert need_of(Part.CLOSURE, off(2.0, 1.0)) is Need.MOVE
    faults = dict.fromkeys(CauseName, fault(0.5, 0.4))
    needs = {Part.VERTICAL: Need.MOVE, Part.CLOSURE: Need.STAY}
    causes = likely_causes({Part.VERTICAL: off(-9.0), Part.CLOSURE: off(-0.5)}, faults, needs)
    assert [each.name for each in causes] == [CauseName.TUBE_TOO_HIGH]


def test_the_costliest_of_all_that_may_be_is_one_of_them() -> None:
    """Each film has one costliest fault, and the one that is far off is likeliest to be it."""
    chances = found({"vertical_deg": 10.0})
    assert sum(each.costliest for each in chances.values()) == pytest.approx(1.0)
    assert max(chances, key=lambda name: chances[name].costliest) is CauseName.TUBE_TOO_HIGH


def test_every_view_has_its_measured_allowance_for_crowns() -> None:
    """Of the order of a single contact's, which is 3 to 5 degrees beside outlines of its crowns."""
    by_view = {
        view_kind(view(name).region): swing_beside_outlines_deg(view(name).region)
        for name in view_names()
    }
    assert all(1.0 < each < 5.0 for each in by_view.values())


@pytest.mark.slow
def test_a_receptor_set_too_high_is_told_to_be_lowered_and_nobody_to_bite_harder() -> None:
    generator = np.random.default_rng(4)
    film = single_fault(
        "receptor 3 mm too high", mean_mouth(), view("right-molar"), Equipment.usual(), generator
    )
    correction = explained(film, generator).correction
    height, closing = correction.of(Part.HEIGHT), correction.of(Part.CLOSURE)
    assert correction.causes[0].name is CauseName.RECEPTOR_TOO_HIGH
    assert height.needed.value < 0.0
    assert closing.need is not Need.MOVE

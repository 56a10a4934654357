"""Exposures of a case count for less, by as much as they are alike, few cases too."""

import numpy as np
import pytest

from bitewright.audit.counted_by import Dimension
from bitewright.audit.design_effect import (
    USUAL_CORRELATION,
    DesignEffect,
    likeness_of,
)
from bitewright.audit.proportions import share_of, wilson
from bitewright.audit.targets import TargetVerdict, grade_effects, target_standings
from bitewright.quality.rating_schemes import rating_scheme
from tests.unit.audit.made_logs import made_log


def fours(cases: int) -> np.ndarray:
    """Cases of four exposures each."""
    return np.repeat(np.arange(cases), 4).astype(np.int32)


def clustered(rate: float, correlation: float, cases: int, records: int, seed: int) -> np.ndarray:
    """Events (records, cases, 4) of beta-binomial cases."""
    rng = np.random.default_rng(seed)
    if not correlation:
        return rng.random((records, cases, 4)) < rate
    both = 1.0 / correlation - 1.0
    own = rng.beta(rate * both, (1.0 - rate) * both, (records, cases, 1))
    return rng.random((records, cases, 4)) < own


def test_a_design_effect_is_one_and_the_rest_of_the_case_times_its_correlation() -> None:
    """Kish 1965: 1 + (m - 1) ICC for cases of m; here m = 4 and ICC = 0.3."""
    events = clustered(0.2, 0.3, 20_000, 1, seed=2).ravel()
    effect = likeness_of(events, fours(20_000)).design_effect(fours(20_000))
    assert float(effect.value) == pytest.approx(1.0 + 3.0 * 0.3, rel=0.03)


def test_a_standard_deviation_is_not_taken_for_a_variance() -> None:
    """Cases of four that are fully alike are worth a quarter of their exposures, not a half."""
    alike = np.repeat(np.arange(2000) % 5 == 0, 4)
    effect = likeness_of(alike, fours(2000)).design_effect(fours(2000))
    assert float(effect.value) == pytest.approx(4.0, rel=0.03)


def test_cases_that_take_turns_have_none() -> None:
    apart = np.tile([True, False, False, False], 300)
    assert float(likeness_of(apart, fours(300)).design_effect(fours(300)).value) == 1.0


def test_a_larger_case_weighs_by_its_exposures() -> None:
    """Kish 1965: of a case of 1 and one of 3 the average exposure lies in a case of 2.5."""
    likeness = likeness_of(np.zeros(4, dtype=np.bool_), np.array([0, 1, 1, 1], dtype=np.int32))
    case = np.array([0, 1, 1, 1], dtype=np.int32)
    value = float(likeness.design_effect(case).value)
    assert value == pytest.approx(1.0 + 1.5 * USUAL_CORRELATION)


def test_few_cases_are_taken_to_be_as_alike_as_usual() -> None:
    one_event = np.arange(20) == 3
    likeness = likeness_of(one_event, fours(5))
    assert likeness.correlation == pytest.approx(USUAL_CORRELATION, abs=0.05)
    assert likeness.sd == pytest.approx(0.2, abs=0.03)
    assert likeness_of(np.zeros(20, dtype=np.bool_), fours(5)).correlation == USUAL_CORRELATION


def test_exposures_without_a_case_stand_alone_and_are_counted() -> None:
    case = np.array([-1] * 30 + [0, 0], dtype=np.int32)
    likeness = likeness_of(np.arange(32) % 3 == 0, case)
    assert (likeness.cases, likeness.not_given) == (1, 30)
    none = likeness.design_effect(case[:30])
    assert (float(none.value), float(none.lean)) == (1.0, 0.0)
    assert np.isinf(none.freedom)


def test_a_group_has_the_effect_of_its_own_part_of_each_case() -> None:
    """Cases of four whose exposures lie one in each of four views: within a view none is alike."""
    case, view = fours(50), np.tile(np.arange(4), 50).astype(np.int32)
    likeness = likeness_of(np.arange(200) % 7 == 0, case)
    assert likeness.design_effects(case, view, 4).value == pytest.approx(np.ones(4))
    assert float(likeness.design_effect(case).value) > 1.2


def test_doubt_of_the_effect_widens_by_students_t_and_lean_moves_the_interval() -> None:
    sure, unsure, leaning = (
        DesignEffect(value=np.array(2.0), freedom=np.array(free), lean=np.array(lean))
        for free, lean in ((np.inf, 0.0), (10.0, 0.0), (np.inf, 2.0))
    )
    of = {"count": 12, "total": 120}
    low, high = share_of(**of, design_effect=sure).low, share_of(**of, design_effect=sure).high
    wide = share_of(**of, design_effect=unsure)
    assert wide.low < low
    assert wide.high > high
    moved = share_of(**of, design_effect=leaning)
    assert moved.low < low
    assert moved.high < high
    turned = share_of(108, 120, design_effect=leaning)
    assert (turned.low, turned.high) == pytest.approx((1 - moved.high, 1 - moved.low))


@pytest.mark.parametrize(("cases", "correlation"), [(15, 0.3), (15, 0.0), (29, 0.4), (45, 0.2)])
def test_intervals_of_few_cases_hold_the_truth_as_often_as_said(
    cases: int, correlation: float
) -> None:
    """Fewer than 30 cases: 95% intervals hold 94% of truths at least, 3000 records each."""
    held = 0
    records = clustered(0.12, correlation, cases, 3000, seed=cases)
    for events in records.reshape(len(records), -1):
        effect = likeness_of(events, fours(cases)).design_effect(fours(cases))
        low, high = wilson(int(events.sum()), events.size, design_effect=effect)
        held += bool(low <= 0.12 <= high)
    assert held / len(records) >= 0.94


def test_a_target_met_exactly_is_seldom_called_missed_where_films_come_by_patients() -> None:
    """60 films of 15 patients at 5% not acceptable, correlation 0.4: at most 3.5% "missed"."""
    scheme, missed = rating_scheme("uk-2020"), 0
    records = clustered(0.05, 0.4, 15, 2000, seed=3).reshape(2000, 60)
    for bad in records:
        log = made_log(
            rejected=bad, rating=bad.astype(int), codes={Dimension.CASE: fours(15).tolist()}
        )
        counts = {"A": int((~bad).sum()), "N": int(bad.sum())}
        found = target_standings(counts, scheme, effects=grade_effects(log, scheme))
        missed += found[1].verdict is TargetVerdict.MISSED
    assert missed / len(records) <= 0.04

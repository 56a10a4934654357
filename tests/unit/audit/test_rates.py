"""Rates, intervals, faults, targets and periods on logs worked out by hand."""

import numpy as np
import pytest
from scipy.stats import binom
from statsmodels.stats.proportion import confint_proportions_2indep, proportion_confint

from bitewright.audit.counted_by import Dimension, Event, Period
from bitewright.audit.expected_rates import expected_mix
from bitewright.audit.faults import fault_pareto
from bitewright.audit.groupings import by_dimension, by_period, crossed, date_of, period_number
from bitewright.audit.proportions import difference_of, share_of, wilson
from bitewright.audit.rates import rates_by
from bitewright.audit.sample_size import ImpossibleShareError, images_for_change, survey_power
from bitewright.audit.targets import NoSuchGradeError, TargetVerdict, grade_counts, target_standings
from bitewright.quality.rating_schemes import rating_scheme
from tests.unit.audit.made_logs import made_log


def test_wilson_is_that_of_statsmodels() -> None:
    counts, totals = np.array([0, 3, 50, 99, 7]), np.array([10, 10, 100, 99, 2000])
    ours = wilson(counts, totals, confidence=0.9)
    theirs = proportion_confint(counts, totals, alpha=0.1, method="wilson")
    assert np.allclose(ours, theirs)


def test_difference_is_that_of_statsmodels() -> None:
    pair = difference_of((5, 60), (17, 80), confidence=0.99)
    theirs = confint_proportions_2indep(17, 80, 5, 60, method="newcomb", alpha=0.01)
    assert (pair.low, pair.high) == pytest.approx(theirs)


def test_an_interval_widens_with_the_design_effect_and_holds_the_share() -> None:
    plain, wide = share_of(30, 200), share_of(30, 200, design_effect=2.0)
    assert wide.low < plain.low < plain.share < plain.high < wide.high


@pytest.mark.parametrize("rate", [0.02, 0.1125, 0.5])
def test_wilson_covers_about_as_often_as_it_says(rate: float) -> None:
    counts = np.arange(401)
    low, high = wilson(counts, np.full(401, 400))
    held = binom.pmf(counts, 400, rate)[(low <= rate) & (rate <= high)].sum()
    assert 0.93 < held < 0.97


def test_rates_leave_out_empty_groups_and_count_what_is_not_given() -> None:
    log = made_log(rejected=[1, 0, 0, 1, 1], codes={Dimension.ROOM: [0, 0, 2, 2, -1]})
    table = rates_by(log, by_dimension(log, Dimension.ROOM), Event.REJECT)
    assert table.labels == ("a", "c")
    assert [(share.count, share.total) for share in table.shares] == [(1, 2), (1, 2)]
    assert (table.overall.count, table.overall.total, table.not_given) == (3, 5, 1)
    assert not table.shares[0].enough


def test_retakes_are_counted_apart_from_rejects() -> None:
    log = made_log(rejected=[1, 0, 0], retake=np.array([0, 1, 0]))
    table = rates_by(log, by_period(log, Period.YEAR), Event.RETAKE)
    assert table.overall.count == 1


def test_periods_follow_the_calendar_without_gaps() -> None:
    days = [int(np.datetime64(text, "D").astype(int)) for text in ("2024-12-30", "2025-02-01")]
    log = made_log(rejected=[0, 1], day=days)
    assert by_period(log, Period.MONTH).labels == ("2024-12", "2025-01", "2025-02")
    assert by_period(log, Period.QUARTER).labels == ("2024-Q4", "2025-Q1")
    assert by_period(log, Period.YEAR).labels == ("2024", "2025")
    weeks = by_period(log, Period.WEEK)
    assert weeks.labels[0] == "2024-12-30"  # a Monday
    assert weeks.codes.tolist() == [0, 4]


def test_weeks_begin_on_monday_and_before_1970_too() -> None:
    day = np.array([-4, -3, 3, 4], dtype=np.int32)  # Sunday, Monday, Sunday, Monday
    assert [date_of(int(each)) for each in day][1] == "1969-12-29"
    assert period_number(day, Period.WEEK).tolist() == [-1, 0, 0, 1]


def test_two_groupings_cross() -> None:
    log = made_log(
        rejected=[0, 0, 1],
        codes={Dimension.ROOM: [0, 1, 1], Dimension.VIEW: [1, -1, 0]},
    )
    both = crossed(by_dimension(log, Dimension.ROOM), by_dimension(log, Dimension.VIEW))
    assert [both.labels[code] if code >= 0 else None for code in both.codes] == [
        "a, b",
        None,
        "b, a",
    ]


def test_faults_are_ordered_and_add_up() -> None:
    faults = ((0, 0, 0.5), (0, 1, np.nan), (1, 0, 0.9), (2, 0, 2.0))
    log = made_log(rejected=[1, 1, 0, 0], faults=faults)
    first, second = fault_pareto(log)
    assert (first.label, first.among_faults.count, first.cumulative) == ("overlap", 3, 0.75)
    assert first.typical_size == pytest.approx(0.9)
    assert (second.label, second.cumulative, second.typical_size) == ("cone cut", 1.0, None)
    assert (first.rejected.count, first.among_exposures.total) == (2, 4)
    only, _ = fault_pareto(log, rejects_only=True)
    assert (only.among_faults.count, only.among_exposures.total) == (2, 2)


def test_a_fault_listed_twice_on_an_exposure_is_one_exposure_with_it() -> None:
    faults = ((0, 1, np.nan), (0, 0, 0.5), (0, 1, np.nan), (2, 1, np.nan))
    first, second = fault_pareto(made_log(rejected=[1, 1, 0], faults=faults))
    assert (first.label, first.among_faults.count, first.among_exposures.count) == (
        "cone cut",
        3,
        2,
    )
    assert (second.among_faults.count, second.among_exposures.count) == (1, 1)


def test_few_images_tell_nothing_about_a_target() -> None:
    scheme = rating_scheme("uk-2020")
    verdicts = [
        target_standings({"A": good, "N": bad}, scheme)[0].verdict
        for good, bad in ((20, 0), (990, 10), (850, 150), (0, 0))
    ]
    assert verdicts == [
        TargetVerdict.TOO_FEW,
        TargetVerdict.MET,
        TargetVerdict.MISSED,
        TargetVerdict.TOO_FEW,
    ]


def test_film_and_own_targets_take_the_place_of_the_schemes() -> None:
    scheme = rating_scheme("uk-2020")
    assert target_standings({"A": 930, "N": 70}, scheme, film=True)[0].verdict is TargetVerdict.MET
    assert (
        target_standings({"A": 930, "N": 70}, scheme, own={"A": 0.99})[0].verdict
        is TargetVerdict.MISSED
    )
    with pytest.raises(NoSuchGradeError, match="'Z'"):
        target_standings({"A": 1}, scheme, own={"Z": 0.5})


def test_grades_of_other_schemes_are_not_counted() -> None:
    log = made_log(rejected=[0, 0, 1], rating=np.array([0, 1, -1]))
    assert grade_counts(log, rating_scheme("uk-2020")) == {"A": 1, "N": 1}
    assert sum(grade_counts(log, rating_scheme("uk-2001")).values()) == 0


def test_what_to_expect_follows_the_views() -> None:
    both = expected_mix({"right-molar": 30, "periapical": 10, "occlusal": 99})
    assert both is not None
    assert both.kind == "bitewings and periapicals"
    assert both.rate == pytest.approx((30 * 0.1125 + 10 * 0.1638) / 40)
    assert expected_mix({"occlusal": 5}) is None


def test_a_small_survey_lets_most_average_people_pass() -> None:
    assert survey_power(4, 20, 0.1638).passes == pytest.approx(binom.cdf(4, 20, 0.1638))
    with pytest.raises(ImpossibleShareError, match="allowed"):
        survey_power(21, 20, 0.1)
    with pytest.raises(ImpossibleShareError, match="second share"):
        images_for_change(0.1, 0.1)

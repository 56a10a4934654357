"""Named seasons and learning are taken out of what is asked of a record."""

from dataclasses import replace

import numpy as np
import pytest
import statsmodels.api as sm

from bitewright.audit.counted_by import Dimension
from bitewright.audit.dated_change import Series, before_after
from bitewright.audit.known_courses import KnownCourses, Season, doublings, with_own_say
from bitewright.audit.unexplained_change import change_points
from bitewright.audit.usual_course import usual_course
from bitewright.audit.weeks import series_of
from bitewright.audit.whole_audit import drift_of
from tests.unit.audit.made_logs import FIRST_DAY, made_log

WEEKS, SIZE = 52, 400
SUMMER = (np.arange(WEEKS) >= 20) & (np.arange(WEEKS) < 33)


def year(rates: np.ndarray, courses: np.ndarray | None = None) -> Series:
    """A year of weeks at these rates, without chance."""
    return Series(
        starts=FIRST_DAY + 7 * np.arange(WEEKS, dtype=np.int64),
        counts=np.round(SIZE * rates),
        totals=np.full(WEEKS, float(SIZE)),
        courses=courses,
    )


HOT = year(np.where(SUMMER, 0.18, 0.10))
TOLD = replace(HOT, courses=SUMMER[:, None].astype(float))


def test_a_season_is_months_of_every_year_and_may_go_over_the_new_year() -> None:
    months = np.arange(1, 13)
    spring = Season(name="spring", first_month=3, last_month=5)
    winter = Season(name="winter", first_month=11, last_month=2)
    assert months[spring.holds(months)].tolist() == [3, 4, 5]
    assert months[winter.holds(months)].tolist() == [1, 2, 11, 12]


def test_learning_counts_doublings_of_each_persons_own_weeks() -> None:
    """1, 3 and 7 weeks after the beginning: once, twice and three times doubled."""
    day = FIRST_DAY + 7 * np.array([0, 1, 3, 7, 10, 11])
    log = made_log(rejected=[0] * 6, day=day, codes={Dimension.OPERATOR: [0, 0, 0, 0, 1, -1]})
    found = doublings(log, {})
    assert found[:5] == pytest.approx([0, 1, 2, 3, 0])
    assert found[5] == pytest.approx(found[:5].mean())
    earlier = doublings(log, {"a": FIRST_DAY - 7})
    assert earlier[:2] == pytest.approx([1.0, np.log2(3.0)])


def test_a_weeks_course_is_the_mean_of_its_exposures() -> None:
    """The last week of February 2025 ends on 2 March: five of seven exposures in February."""
    log = made_log(rejected=[0] * 7, day=np.arange(20143, 20150))  # 24 February to 2 March
    february = KnownCourses(seasons=(Season(name="cold", first_month=2, last_month=2),))
    weeks = series_of(log, log.rejected, courses=february)
    assert weeks.courses is not None
    assert weeks.courses[:, 0] == pytest.approx([5 / 7])


def test_a_season_is_found_as_a_change_until_it_is_named() -> None:
    rng = np.random.default_rng(1)
    assert len(change_points(HOT, rng=rng)) == 2
    assert change_points(TOLD, rng=rng) == ()
    watch, named = drift_of(HOT, rng, 0.05), drift_of(TOLD, rng, 0.05)
    assert watch is not None
    assert named is not None
    assert watch.cusum.signal_up is not None
    assert named.cusum.signal_up is None


def test_a_change_beside_a_named_season_is_still_found() -> None:
    changed = np.arange(WEEKS) >= 40
    rates = np.where(SUMMER, 0.18, 0.10) + np.where(changed, 0.08, 0.0)
    (point,) = change_points(
        year(rates, SUMMER[:, None].astype(float)), rng=np.random.default_rng(1)
    )
    assert point.day == FIRST_DAY + 7 * 40


def test_a_named_change_is_judged_with_the_season_taken_out() -> None:
    """A step by statsmodels: a binomial regression with the season beside it."""
    day = FIRST_DAY + 7 * 26
    (plain,) = before_after(HOT, [("guide", day)])
    swing = 1.0 + 0.1 * np.tile([1.0, -1.0], WEEKS // 2)
    rates = np.where(SUMMER, 0.18, 0.10) * np.where(np.arange(WEEKS) >= 26, 0.7, 1.0) * swing
    series = year(rates, SUMMER[:, None].astype(float))
    (found,) = before_after(series, [("guide", day)])
    assert plain.beside_courses is None
    assert found.beside_courses is not None
    design = np.column_stack([np.ones(WEEKS), np.arange(WEEKS) >= 26, SUMMER]).astype(float)
    outcome = np.column_stack([series.counts, series.totals - series.counts])
    fitted = sm.GLM(outcome, design, family=sm.families.Binomial()).fit()
    assert np.log(found.beside_courses.odds_ratio) == pytest.approx(fitted.params[1], abs=1e-6)
    assert found.settled


def test_the_score_of_a_step_is_that_of_statsmodels() -> None:
    """Rao's score against the null model with the season: z squared of the added step."""
    rates = np.where(SUMMER, 0.18, 0.10) * (1.0 + 0.05 * np.sin(np.arange(WEEKS)))
    series = year(rates, SUMMER[:, None].astype(float))
    gains = usual_course(series).gains(series.counts, slice(25, 26))
    null = np.column_stack([np.ones(WEEKS), SUMMER]).astype(float)
    outcome = np.column_stack([series.counts, series.totals - series.counts])
    model = sm.GLM(outcome, null, family=sm.families.Binomial())
    step = (np.arange(WEEKS) >= 26).astype(float)
    theirs = model.score_test(model.fit().params, exog_extra=step[:, None])
    assert float(gains[0]) == pytest.approx(float(np.squeeze(theirs[0])), rel=1e-6)


def test_courses_that_tell_the_same_are_left_out() -> None:
    ones, season = np.ones((WEEKS, 1)), SUMMER.astype(float)
    courses = np.column_stack([season, 1.0 - season, np.arange(WEEKS)])
    assert with_own_say(courses, ones, np.ones(WEEKS)).tolist() == [True, False, True]
    same = replace(HOT, courses=(np.arange(WEEKS) >= 26).astype(float)[:, None])
    (found,) = before_after(same, [("guide", FIRST_DAY + 7 * 26)])
    assert found.beside_courses is None


def test_a_season_without_rejects_is_not_fitted() -> None:
    none = year(np.where(SUMMER, 0.0, 0.10), SUMMER[:, None].astype(float))
    assert not usual_course(none).has_courses

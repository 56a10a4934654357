"""The simulated school holds what is planted, and an audit of it finds that and nothing else."""

import numpy as np
import pytest

from benchmarks.simulated_years import PLAN, judged
from bitewright.audit.counted_by import Dimension
from bitewright.audit.design_effect import USUAL_CORRELATION, likeness_of
from bitewright.audit.simulated_school import (
    SchoolPlan,
    planned_costs,
    planned_odds,
    simulated_school,
)

SCHOOL = simulated_school(PLAN, np.random.default_rng(1))


def test_a_year_has_the_size_and_people_asked_for() -> None:
    log = SCHOOL.log
    assert len(log) == 12_000
    assert len(log.names(Dimension.OPERATOR)) == 90
    assert len(log.names(Dimension.ROOM)) == 3
    assert len(SCHOOL.biased) == 2


def test_rates_are_the_planted_ones() -> None:
    day, rejected = SCHOOL.log.day, SCHOOL.log.rejected
    parts = (
        day < PLAN.receptor_day,
        (day >= PLAN.receptor_day) & (day < PLAN.training_day),
        day >= PLAN.training_day,
    )
    rates = [rejected[part].mean() for part in parts]
    assert rates == pytest.approx([0.10, 0.16, 0.09], abs=0.025)


def test_receptors_come_in_the_fourth_month() -> None:
    new = SCHOOL.log.code(Dimension.RECEPTOR) == 1
    assert (new == (SCHOOL.log.day >= PLAN.receptor_day)).all()


def test_a_retake_follows_a_reject_of_its_case_and_view() -> None:
    log = SCHOOL.log
    place = np.flatnonzero(log.retake)
    assert len(place) > 300
    assert log.rejected[place - 1].all()
    for dimension in (Dimension.CASE, Dimension.VIEW, Dimension.OPERATOR):
        code = log.code(dimension)
        assert (code[place] == code[place - 1]).all()


def test_rejects_show_a_fault_or_two_and_few_others_a_slighter_one() -> None:
    log = SCHOOL.log
    number = np.bincount(log.fault_row, minlength=len(log))
    assert set(number[log.rejected]) == {1, 2}
    assert number[log.rejected].mean() == pytest.approx(1.3, abs=0.05)
    assert set(number[~log.rejected]) == {0, 1}
    assert number[~log.rejected].mean() == pytest.approx(0.2, abs=0.02)
    of_reject, known = log.rejected[log.fault_row], log.fault == log.fault_labels.index("overlap")
    bad, slight = (np.median(log.fault_size[known & which]) for which in (of_reject, ~of_reject))
    assert slight == pytest.approx(bad / 2, rel=0.1)


def test_films_come_by_patients() -> None:
    """Two films of a case are correlated as usual, some of it for the rates' own course."""
    found = likeness_of(SCHOOL.log.rejected, SCHOOL.log.code(Dimension.CASE))
    assert found.correlation == pytest.approx(USUAL_CORRELATION, abs=0.06)


def test_the_clinic_is_closed_in_the_month_of_the_changed_technique() -> None:
    month = SCHOOL.log.day[
        (SCHOOL.log.day >= PLAN.month_start(8)) & (SCHOOL.log.day < PLAN.month_start(9))
    ]
    assert 8 <= len(np.unique(month)) <= 14


def test_rejects_cost_students_and_views_what_the_planner_says() -> None:
    """Six degrees off spoil twice as many films; between the planner's means costs lie between."""
    costs = planned_costs(np.array([0.0, 6.0, 5.0, -6.0]))
    table = planned_odds()["plate-2"]["right-premolar"]
    assert costs[0, 0] == table[4]
    assert costs[1, 0] == table[7]
    assert costs[2, 0] == pytest.approx((table[6] + table[7]) / 2)
    assert costs[3].mean() > 1.5 * costs[0].mean()
    biased = [SCHOOL.log.names(Dimension.OPERATOR).index(name) for name in SCHOOL.biased]
    off = np.isin(SCHOOL.log.code(Dimension.OPERATOR), biased)
    assert SCHOOL.log.rejected[off].mean() > 1.2 * SCHOOL.log.rejected[~off].mean()


def test_before_the_new_receptors_rejects_are_near_the_published_and_above_geometry_alone() -> None:
    """11.25% of bitewings: Yeung and Wong 2021. The planner spoils films by aim and place alone."""
    early = SCHOOL.log.day < PLAN.receptor_day
    assert SCHOOL.log.rejected[early].mean() == pytest.approx(0.1125, abs=0.03)
    graded_n = (SCHOOL.log.rating[early] == 1).mean()
    odds = np.mean([views[4] for views in planned_odds()["plate-2"].values()])
    assert odds < graded_n < 3 * odds


def test_each_clinic_has_two_supervisors_of_its_own() -> None:
    room, supervisor = SCHOOL.log.code(Dimension.ROOM), SCHOOL.log.code(Dimension.SUPERVISOR)
    pairs = set(zip(room.tolist(), supervisor.tolist(), strict=True))
    assert len(pairs) == len(SCHOOL.log.names(Dimension.SUPERVISOR)) == 6


def test_a_school_without_effects_has_one_rate_and_nobody_biased() -> None:
    plain = simulated_school(PLAN.without_effects(), np.random.default_rng(1))
    assert plain.biased == ()
    assert plain.log.rejected.mean() == pytest.approx(0.12, abs=0.015)


def test_months_follow_the_calendar_across_a_new_year() -> None:
    plan = SchoolPlan(first_day=int(np.datetime64("2025-09-01", "D").astype(int)))
    assert str(np.datetime64(plan.training_day, "D")) == "2026-04-01"


def test_three_years_tell_the_planted_truths() -> None:
    counts = [judged(simulated_school(PLAN, np.random.default_rng(s)), s) for s in range(3)]
    for truth in (
        "new receptors: before and after differ",
        "changed technique: before and after differ",
        "any undated change",
    ):
        assert sum(count[truth] for count in counts) == 3, truth
    students = ("student 1 with a biased aim", "student 2 with a biased aim")
    assert sum(count[each] for count in counts for each in students) >= 5
    assert sum(count["a remark on a part that is truly within its limit"] for count in counts) == 0


@pytest.mark.slow
def test_forty_years_find_what_is_there_and_little_else() -> None:
    years = range(100, 140)
    with_effects = [judged(simulated_school(PLAN, np.random.default_rng(s)), s) for s in years]
    plain = PLAN.without_effects()
    without = [judged(simulated_school(plain, np.random.default_rng(s)), s) for s in years]
    for truth in (
        "new receptors: before and after differ",
        "changed technique: before and after differ",
        "any undated change",
        "student 1 with a biased aim",
        "student 2 with a biased aim",
    ):
        assert sum(count[truth] for count in with_effects) >= 37, truth
    for month in (4, 8):  # films that come by patients leave less to date a change by
        name = f"an undated change near month {month} (3 open weeks)"
        assert sum(count[name] for count in with_effects) >= 32, name
    assert sum(count["anything at all"] for count in without) <= 6
    for name in ("contact_error_deg", "height_mm"):
        kind = f"95% intervals of {name} hold"
        held = sum(c[kind] for c in without) / sum(c[f"of {kind}"] for c in without)
        assert 0.94 <= held <= 0.96, name

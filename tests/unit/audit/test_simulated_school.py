"""The simulated school holds what is planted, and an audit of it finds that and nothing else."""

import numpy as np
import pytest

from benchmarks.simulated_years import PLAN, judged
from bitewright.audit.counted_by import Dimension
from bitewright.audit.simulated_school import SchoolPlan, simulated_school

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
        "an undated change near month 8 (3 weeks)",
        "student 1 with a biased aim",
        "student 2 with a biased aim",
    ):
        assert sum(count[truth] for count in counts) == 3, truth


@pytest.mark.slow
def test_forty_years_find_what_is_there_and_little_else() -> None:
    years = range(100, 140)
    with_effects = [judged(simulated_school(PLAN, np.random.default_rng(s)), s) for s in years]
    plain = PLAN.without_effects()
    without = [judged(simulated_school(plain, np.random.default_rng(s)), s) for s in years]
    for truth in (
        "new receptors: before and after differ",
        "changed technique: before and after differ",
        "an undated change near month 4 (3 weeks)",
        "an undated change near month 8 (3 weeks)",
        "student 1 with a biased aim",
        "student 2 with a biased aim",
    ):
        assert sum(count[truth] for count in with_effects) >= 37, truth
    assert sum(count["anything at all"] for count in without) <= 6
    for name in ("contact_error_deg", "height_mm"):
        kind = f"95% intervals of {name} hold"
        held = sum(c[kind] for c in without) / sum(c[f"of {kind}"] for c in without)
        assert 0.94 <= held <= 0.96, name

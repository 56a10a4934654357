"""Scores of a fall, and how often a watch for drift cries out at nothing."""

import numpy as np
import pytest

from bitewright.audit.cusum import bernoulli_cusum, drift_watch


def test_a_fall_is_watched_for_at_the_odds_turned_over() -> None:
    """Steiner 2000: each exposure adds the log ratio of its chances under both rates.

    Usual odds 1 to 4; half of them, 1 to 8, is a rate of 1 in 9.
    """
    found = bernoulli_cusum([0, 0, 1, 0], [1, 1, 1, 1], usual=0.2, odds=2.0, limit=0.2)
    kept = np.log((8 / 9) / (4 / 5))
    assert found.down == pytest.approx([kept, 2 * kept, 0.0, kept])
    assert (found.signal_down, found.began_down) == (1, 0)
    assert (found.signal_up, found.began_up) == (2, 2)


def test_a_climb_begins_after_its_last_nought() -> None:
    found = bernoulli_cusum([0, 5, 0, 9, 9], [10] * 5, usual=0.2, odds=2.0, limit=5.0)
    assert found.up[2] == 0.0
    assert (found.signal_up, found.began_up) == (4, 3)


@pytest.mark.parametrize("false_alarm", [0.05, 0.2])
def test_records_without_drift_pass_the_limit_as_often_as_said(false_alarm: float) -> None:
    """Against sums added up here, step by step, for records drawn at one rate."""
    weeks, size, reference, odds = 40, 200, 12, 1.5
    watch = drift_watch(
        np.full(weeks, 24.0),
        np.full(weeks, size),
        reference=reference,
        rng=np.random.default_rng(1),
        odds=odds,
        false_alarm=false_alarm,
    )
    counts = np.random.default_rng(2).binomial(size, 0.12, (20_000, weeks))
    usual = counts[:, :reference].mean(axis=1) / size
    highest = np.zeros(len(counts))
    for ratio in (odds, 1.0 / odds):
        changed = ratio * usual / (1.0 - usual + ratio * usual)
        total = np.zeros(len(counts))
        for week in range(reference, weeks):
            rejects, kept = counts[:, week], size - counts[:, week]
            added = rejects * np.log(changed / usual)
            added += kept * np.log((1.0 - changed) / (1.0 - usual))
            total = np.maximum(total + added, 0.0)
            highest = np.maximum(highest, total)
    passed = (highest > watch.cusum.limit).mean()
    assert passed == pytest.approx(false_alarm, rel=0.25)


def test_few_clustered_weeks_seldom_pass_the_limit() -> None:
    """180 films of 45 patients, four a patient, correlation 0.3: at most 5%, 300 records."""
    passed = 0
    for seed in range(300):
        rng = np.random.default_rng(seed)
        patients = np.bincount(rng.integers(0, 52, 45), minlength=52)
        weeks = patients[patients > 0]
        own = [rng.beta(0.12 * 7 / 3, 0.88 * 7 / 3, each) for each in weeks]
        counts = np.array([rng.binomial(4, rates).sum() for rates in own])
        watch = drift_watch(
            counts,
            4 * weeks,
            reference=len(weeks) // 4,
            rng=rng,
            design_effects=np.full(len(weeks), 1.9),
        )
        passed += watch.cusum.signal_up is not None or watch.cusum.signal_down is not None
    assert passed / 300 <= 0.065

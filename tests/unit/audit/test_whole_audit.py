"""Chance is shared out among all that is asked of one record."""

import numpy as np
import pytest

from bitewright.audit.dated_change import Series
from bitewright.audit.groupings import Period
from bitewright.audit.logged_exposures import Dimension
from bitewright.audit.rates import Event
from bitewright.audit.unexplained_change import change_points
from bitewright.audit.weeks import series_of
from bitewright.audit.whole_audit import (
    AuditSettings,
    chance_for_each,
    drift_of,
    operators_funnel,
    phases_of,
    unnamed_changes,
)
from tests.unit.audit.made_logs import FIRST_DAY, made_log

SIZE = 250.0


def weeks(*parts: tuple[int, float]) -> Series:
    """So many weeks at each rate, without chance."""
    counts = np.concatenate([np.full(count, np.round(SIZE * rate)) for count, rate in parts])
    starts = 7 * np.arange(len(counts), dtype=np.int64)
    return Series(starts=starts, counts=counts, totals=np.full(len(counts), SIZE))


def test_questions_share_five_percent_between_them() -> None:
    """Bonferroni: two named changes, and the four questions that are always asked."""
    settings = AuditSettings(changes=(("a", 1), ("b", 2)))
    assert chance_for_each(settings) == pytest.approx(0.05 / 6)


def test_parts_between_named_changes_share_the_chance() -> None:
    first = ((10, 0.100), (10, 0.124))
    generators = [np.random.default_rng(seed) for seed in range(5)]
    alone = [change_points(weeks(*first), rng=rng, false_alarm=1.0) for rng in generators]
    chance = float(np.mean([point.chance for (point,) in alone]))
    record, named = weeks(*first, (20, 0.40)), (("new receptors", 7 * 20),)
    for times, count in ((1.4, 0), (2.8, 1)):
        found = unnamed_changes(record, named, np.random.default_rng(1), times * chance)
        assert len(found) == count


def test_drift_is_watched_against_the_first_quarter() -> None:
    watch = drift_of(weeks((12, 0.10), (36, 0.20)), np.random.default_rng(1), 0.05)
    assert watch is not None
    assert watch.reference == 12
    assert watch.usual == pytest.approx(0.10, abs=0.001)
    assert drift_of(weeks((11, 0.1)), np.random.default_rng(1), 0.05) is None


def test_a_period_that_a_change_cuts_belongs_to_the_phase_before() -> None:
    months = np.array(["2025-01-15", "2025-02-10", "2025-03-01", "2025-03-20"])
    day = months.astype("datetime64[D]").astype(np.int32)
    log = made_log(rejected=[0, 0, 0, 0], day=day)
    changes = (("b", int(day[2])), ("a", int(day[1])))
    settings = AuditSettings(period=Period.MONTH, changes=changes)
    months = series_of(log, log.rejected, Period.MONTH)
    assert phases_of(months, settings).tolist() == [0, 0, 2]


def test_operators_are_expected_to_reject_what_their_views_cost() -> None:
    """Two operators, one with the hard view, each rejecting just as everybody does there."""
    view = np.repeat([0, 1], 100)
    rejected = np.concatenate([np.arange(100) < 40, np.arange(100) < 10])
    operator = np.concatenate([np.arange(100) % 4 == 0, np.arange(100) % 4 != 0]).astype(int)
    log = made_log(
        rejected=rejected,
        day=np.full(200, FIRST_DAY),
        codes={Dimension.OPERATOR: operator.tolist(), Dimension.VIEW: view.tolist()},
    )
    found = operators_funnel(log, Event.REJECT, 0.05)
    expected = [each.expected for each in found.operators]
    counts = [((operator == k) & (view == v)).sum() for k in (0, 1) for v in (0, 1)]
    assert expected == pytest.approx(
        [counts[0] * 0.4 + counts[1] * 0.1, counts[2] * 0.4 + counts[3] * 0.1]
    )

"""Fewer than twenty operators: each against the others, and what that could miss."""

from dataclasses import replace

import numpy as np
import pytest

from bitewright.audit.could_have_missed import POWER, WORTH_FINDING, can_compare, rates_found_from
from bitewright.audit.counted_by import Dimension, Event
from bitewright.audit.design_effect import DesignEffect
from bitewright.audit.few_operators import counts_at, others_of, scores_against_others
from bitewright.audit.funnel import Funnel, funnel, reach_among_few
from bitewright.audit.logged_exposures import LoggedExposures
from bitewright.audit.usual_spread import usual_spread
from bitewright.audit.whole_audit import operators_funnel
from bitewright.report.operator_charts import funnel_figure
from tests.unit.audit.made_logs import made_log

FILMS_EACH_CASE = 4


def practice(
    rates: np.ndarray, cases: int, likeness: float, rng: np.random.Generator
) -> LoggedExposures:
    """Cases of four films each, alike within a case, for people with these true rates."""
    person = np.repeat(np.arange(len(rates)), cases)
    share = rates[person]
    if likeness:
        whole = 1.0 / likeness - 1.0
        share = rng.beta(share * whole, (1 - share) * whole)
    case = np.repeat(np.arange(len(person)), FILMS_EACH_CASE)
    log = made_log(
        rejected=rng.random(len(case)) < share[case],
        codes={Dimension.OPERATOR: person[case].tolist()},
    )
    return replace(
        log,
        labels={**log.labels, Dimension.CASE: range(len(person))},
        codes={**log.codes, Dimension.CASE: case.astype(np.int32)},
    )


def test_nine_equal_people_with_films_alike_within_patients_are_not_named() -> None:
    """Films counted as independent once named somebody in 15% of such records."""
    rng = np.random.default_rng(1)
    named = [
        any(
            each.beyond
            for each in operators_funnel(
                practice(np.full(9, 0.12), 15, 0.4, rng), Event.REJECT, 0.05
            ).operators
        )
        for _ in range(100)
    ]
    assert np.mean(named) <= 0.08


def test_scores_are_about_normal_where_people_differ_as_usual() -> None:
    rng = np.random.default_rng(2)
    spread, scores = usual_spread().log_odds_sd, []
    for _ in range(400):
        rates = 0.12 * np.exp(rng.normal(0.0, 0.88 * spread, 4))
        size = np.full(4, 400.0)
        hits = rng.binomial(400, rates).astype(float)
        wanted = size * hits.sum() / size.sum()
        others = others_of(hits, wanted, np.ones(4), 0.12, (0.88 * spread) ** 2)
        scores.append(scores_against_others(hits, size, wanted, np.ones(4), others)[0])
    assert np.mean(scores) == pytest.approx(0.0, abs=0.12)
    # A little under 1: the others' own differences count where they are above the usual.
    assert 0.8 < np.std(scores) < 1.05


def test_one_far_off_among_three_is_named_and_the_others_are_not() -> None:
    found = funnel(("a", "b", "c"), [20, 24, 90], [200, 200, 200])
    assert [each.label for each in found.operators if each.beyond] == ["c"]
    assert found.borrowed


def test_a_count_is_found_again_from_its_score() -> None:
    hits, size = np.array([12.0, 30.0, 25.0]), np.array([100.0, 250.0, 200.0])
    wanted, worth = size * hits.sum() / size.sum(), np.full(3, 1.6)
    others = others_of(hits, wanted, worth, 0.12, 0.04)
    scores = scores_against_others(hits, size, wanted, worth, others)
    assert counts_at(scores, size, wanted, worth, others) == pytest.approx(hits, abs=1e-4)


def test_who_lies_beyond_the_drawn_line_is_who_is_named() -> None:
    sizes = np.full(5, 150)
    named = []
    for worst in range(20, 100, 4):
        found = funnel(tuple("abcde"), [15, 18, 17, 20, worst], sizes, clustering=wide(5))
        line = reach_among_few(found, found.z_beyond)
        for each, low, high in zip(found.operators, line.low, line.high, strict=True):
            assert each.beyond == (not low < each.rate < high)
        named.append([each.label for each in found.operators if each.beyond])
    assert named[0] == []
    assert named[-1] == ["e"]


def wide(count: int) -> DesignEffect:
    return DesignEffect(value=np.full(count, 1.7), freedom=np.full(count, 20.0))


def test_somebody_at_the_rate_told_is_named_in_four_records_of_five() -> None:
    rng = np.random.default_rng(3)
    people, films = 5, 200
    usual = funnel(tuple("abcde"), np.full(people, 24), np.full(people, films))
    (end,) = rates_found_from(usual)
    assert end.exposures == films
    assert end.rate is not None
    named = []
    for _ in range(300):
        hits = rng.binomial(films, [0.12] * (people - 1) + [end.rate])
        named.append(funnel(tuple("abcde"), hits, np.full(people, films)).operators[-1].beyond)
    assert np.mean(named) == pytest.approx(POWER, abs=0.08)


def test_more_films_and_more_patients_find_smaller_differences() -> None:
    rates = []
    for films, worth in ((40, 1.0), (40, 2.0), (400, 1.0)):
        found = with_worth(films, worth)
        rates.append(rates_found_from(found)[0].rate)
    few, clustered, many = rates
    assert many is not None
    assert few is not None
    assert many < few
    assert clustered is None or clustered > few


def with_worth(films: int, worth: float) -> Funnel:
    effect = DesignEffect(value=np.full(4, worth))
    return funnel(
        tuple("abcd"), np.full(4, round(0.12 * films)), np.full(4, films), clustering=effect
    )


def test_with_too_few_films_nobody_could_be_named() -> None:
    found = funnel(("a", "b"), [2, 3], [20, 20], clustering=DesignEffect(value=np.full(2, 6.0)))
    assert rates_found_from(found)[0].rate is None


def test_people_are_compared_only_where_three_times_the_rate_would_be_named() -> None:
    for films, compared in ((36, False), (400, True)):
        found = with_worth(films, 1.6)
        ends = rates_found_from(found)
        assert ends[0].rate is not None
        assert can_compare(found, ends) is compared
        assert (ends[0].rate <= WORTH_FINDING * found.overall) is compared


def test_few_are_drawn_side_by_side_with_a_line_of_their_own_and_many_as_a_funnel() -> None:
    few = funnel(tuple("abcd"), [12, 15, 9, 70], np.full(4, 120))
    figure = funnel_figure(few, "reject")
    assert figure is not None
    assert "The line of each" in figure.says
    assert [row[0] for row in figure.rows if row[8] == "yes"] == ["d"]
    many = funnel(tuple(f"p{k}" for k in range(25)), np.full(25, 15), np.full(25, 120))
    wider = funnel_figure(many, "reject")
    assert wider is not None
    assert "dotted lines" in wider.says
    assert funnel_figure(funnel(("a",), [3], [40]), "reject") is None

"""Operators: fairly placed, partly pooled, told what to move."""

import numpy as np
import pytest

from bitewright.audit.agreement import TooFewRatingsError, cohen, fleiss, percent_agreement
from bitewright.audit.counted_by import Dimension
from bitewright.audit.funnel import exact_limits, funnel, reach_of
from bitewright.audit.like_work import expected_rejects
from bitewright.audit.operator_aim import UNCERTAINTY, OperatorAim, operator_aims
from bitewright.audit.pooled_means import WORTH_SAYING
from bitewright.exposing.scatter import AimPart, Scatter, ScatterCovarianceError
from bitewright.words.agreement import kappa_words
from bitewright.words.aim import advice
from tests.unit.audit.made_logs import made_log

PEOPLE = 26


def aims_of(bias: np.ndarray, number: np.ndarray, seed: int = 5) -> tuple[OperatorAim, ...]:
    """Aims learned from drawn assessments of people with these biases of contact error."""
    rng = np.random.default_rng(seed)
    operator = np.repeat(np.arange(len(bias)), number)
    n = len(operator)
    columns = {}
    for part in AimPart:
        truth = bias[operator] if part is AimPart.CONTACT_ERROR else np.zeros(n)
        columns[part.value] = truth + rng.normal(0, 3.0, n) + rng.normal(0, 1.5, n)
        columns[UNCERTAINTY[part]] = np.full(n, 1.5)
    log = made_log(rejected=np.zeros(n), codes={Dimension.OPERATOR: operator.tolist()}, **columns)
    return operator_aims(log)


def test_one_far_off_is_remarked_on_and_hardly_pulled_in() -> None:
    bias = np.random.default_rng(0).normal(0, 1.0, PEOPLE)
    bias[3] = 6.0
    aims = aims_of(bias, np.full(PEOPLE, 50))
    assert [aim.label for aim in aims if aim.remarked] == ["d"]
    part = aims[3].parts[0]
    assert part.low < 6.0 < part.high
    assert abs(part.mean - part.plain_mean) < 0.4
    assert part.scatter == pytest.approx(3.0, rel=0.25)


def test_the_fewer_the_exposures_the_nearer_to_the_others() -> None:
    bias = np.random.default_rng(1).normal(0, 1.0, PEOPLE)
    few = np.full(PEOPLE, 50)
    few[0] = 2
    parts = [aim.parts[0] for aim in aims_of(bias, few)]
    assert parts[0].high - parts[0].low > 1.5 * (parts[1].high - parts[1].low)
    assert abs(parts[0].mean) < abs(parts[0].plain_mean)


def test_most_intervals_hold_the_truth() -> None:
    held = []
    for seed in range(12):
        bias = np.random.default_rng(seed).normal(0, 1.0, PEOPLE)
        aims = aims_of(bias, np.full(PEOPLE, 20), seed=1000 + seed)
        held += [a.parts[0].low <= b <= a.parts[0].high for a, b in zip(aims, bias, strict=True)]
    assert 0.92 <= np.mean(held) <= 0.98  # 312 intervals; 0.95 within two and a half deviations


def test_advice_is_a_movement_the_right_way() -> None:
    bias = np.zeros(PEOPLE)
    bias[0], bias[1] = 7.0, -7.0
    front, back, *rest = aims_of(bias, np.full(PEOPLE, 60))
    assert "towards the back of the mouth" in advice(front)
    assert "towards the front of the mouth" in advice(back)
    assert "if another exposure is justified" in advice(front)
    degrees = {f"({size:.0f} degrees" for size in (abs(aim.parts[0].mean) for aim in (front, back))}
    assert any(each in advice(front) for each in degrees)
    assert advice(rest[0]).startswith("No steady error worth a remark: keep the technique. With 60")
    assert "could miss a contact error of less than" in advice(rest[0])


def test_nobody_perhaps_off_is_told_to_keep_the_technique() -> None:
    """Too few films to be sure of some degrees, which are said all the same, with their way."""
    bias = np.zeros(PEOPLE)
    bias[0], bias[1] = 5.0, -3.2
    number = np.full(PEOPLE, 60)
    number[:2] = 10
    front, back, *rest = aims_of(bias, number)
    for aim, way in ((front, "front"), (back, "back")):
        assert not aim.remarked
        assert abs(aim.parts[0].mean) > WORTH_SAYING[AimPart.CONTACT_ERROR]
        told = f"the tube {abs(aim.parts[0].mean):.0f} degrees too far to the {way} ("
        assert advice(aim).startswith(f"Perhaps steadily off, not surely: {told}")
        assert "keep the technique" not in advice(aim)
        assert "this could miss a contact error of less than" in advice(aim)
    assert any("keep the technique" in advice(aim) for aim in rest)


def test_few_assessments_are_too_few_for_advice() -> None:
    number = np.full(PEOPLE, 30)
    number[0] = 3
    bias = np.zeros(PEOPLE)
    bias[0] = 9.0
    assert "too few to tell" in advice(aims_of(bias, number)[0])


def test_nobody_assessed_gives_nobody() -> None:
    assert operator_aims(made_log(rejected=[0, 1], codes={Dimension.OPERATOR: [0, 1]})) == ()


def test_a_scatter_draws_what_it_says() -> None:
    aim = aims_of(np.full(PEOPLE, 2.0), np.full(PEOPLE, 40))[0]
    drawn = aim.scatter.draw(np.random.default_rng(0), 40_000)
    assert drawn.mean(axis=0) == pytest.approx(aim.scatter.mean(), abs=0.06)
    assert np.cov(drawn.T) == pytest.approx(aim.scatter.covariance, abs=0.35)


def test_a_covariance_that_is_none_is_refused() -> None:
    for wrong in (np.eye(3), -np.eye(4), np.triu(np.ones((4, 4)))):
        with pytest.raises(ScatterCovarianceError):
            Scatter(
                contact_error_deg=0.0,
                vertical_error_deg=0.0,
                forward_mm=0.0,
                height_mm=0.0,
                covariance=wrong,
            )


def test_small_numbers_shame_nobody() -> None:
    labels = tuple(f"p{k}" for k in range(40))
    sizes = np.full(40, 150)
    sizes[0] = 8
    rejects = np.random.default_rng(3).binomial(sizes, 0.11)
    rejects[0] = 6
    found = funnel(labels, rejects, sizes)
    small = found.operators[0]
    assert not small.enough
    assert not small.beyond
    assert small.likely_rate < 0.3 < small.rejects / small.exposures


def test_one_far_beyond_the_others_is_found() -> None:
    labels = tuple(f"p{k}" for k in range(40))
    sizes = np.full(40, 300)
    rejects = np.random.default_rng(3).binomial(sizes, 0.11)
    rejects[7] = 110
    found = funnel(labels, rejects, sizes)
    assert [each.label for each in found.operators if each.beyond] == ["p7"]


@pytest.mark.slow
def test_few_groups_of_equals_have_one_beyond() -> None:
    labels = tuple(f"p{k}" for k in range(90))
    sizes = np.full(90, 130)
    rng = np.random.default_rng(0)
    groups = [
        funnel(labels, rng.binomial(sizes, np.clip(rng.normal(0.12, 0.03, 90), 0.01, 1)), sizes)
        for _ in range(100)
    ]
    assert sum(any(each.beyond for each in group.operators) for group in groups) <= 10


def test_hard_work_is_expected_to_cost_more() -> None:
    rejected = np.array([1, 1, 0, 0, 1, 0, 0, 0], dtype=bool)
    stratum = np.array([0, 0, 0, 0, 1, 1, 1, 1])
    operator = np.array([0, 0, 0, 1, 1, 1, 1, -1], dtype=np.int32)
    assert expected_rejects(rejected, operator, stratum, 2).tolist() == [1.5, 1.25]


def test_limits_narrow_with_size_and_widen_with_spread() -> None:
    limits = exact_limits(0.1, [50, 500], 0.95)
    assert limits.high[1] < limits.high[0]
    labels = tuple(f"p{k}" for k in range(40))
    rates = np.repeat([0.05, 0.17], 20)
    found = funnel(labels, np.round(400 * rates), np.full(40, 400))
    assert found.spread > 3
    reach = reach_of(found, [400.0], 1.96)
    assert reach.high[0] > exact_limits(found.overall, [400.0], 0.95).high[0]


def test_kappa_has_words_and_needs_two_grades() -> None:
    assert kappa_words(cohen([[20, 5], [10, 15]])) == "fair"
    assert percent_agreement([[20, 5], [10, 15]]).share == pytest.approx(0.7)
    with pytest.raises(TooFewRatingsError, match="one grade"):
        cohen([[9, 0], [0, 0]])
    with pytest.raises(TooFewRatingsError, match="one grade"):
        fleiss([[3, 0], [3, 0]])


def test_fleiss_interval_narrows_with_images() -> None:
    rng = np.random.default_rng(0)
    rows = [rng.multinomial(5, rng.dirichlet([1, 1, 1])) for _ in range(200)]
    few, many = fleiss(rows[:20]), fleiss(rows)
    assert many.high - many.low < 0.5 * (few.high - few.low)
    assert many.low < many.value < many.high

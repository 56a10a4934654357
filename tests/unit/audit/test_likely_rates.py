"""What is most likely true of each person's rate: neither too sure nor too wide."""

import numpy as np
import pytest
from scipy.special import expit, logit

from bitewright.audit.likely_rates import likely_rates
from bitewright.audit.proportions import wilson
from bitewright.audit.usual_spread import usual_spread


def shares(
    rejects: np.ndarray, exposures: np.ndarray, design_effect: float = 1.0
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    overall = rejects.sum() / exposures.sum()
    found = likely_rates(rejects, exposures, exposures * overall, design_effect=design_effect)
    return found.at(overall)


def test_five_who_happen_to_be_alike_are_not_known_to_a_tenth_of_a_point() -> None:
    """A spread that comes out as nothing once gave each of these an interval of 0.1 points."""
    rejects, exposures = np.array([11, 13, 12, 12, 10]), np.full(5, 100)
    _, low, high = shares(rejects, exposures)
    plain = np.subtract(*wilson(rejects, exposures)[::-1])
    assert ((high - low) > 0.45 * plain).all()
    assert ((high - low) < plain).all()
    assert (low < 0.1).all()
    assert (high > 0.14).all()


@pytest.mark.parametrize(("people", "films"), [(3, 80), (5, 120)])
@pytest.mark.parametrize("spread", [0.0, 0.5])
def test_intervals_of_few_people_hold(people: int, films: int, spread: float) -> None:
    """Of 150 records each; once a third and a half of such intervals held."""
    rng = np.random.default_rng(1)
    held = []
    for _ in range(150):
        rate = 0.12 * np.exp(rng.normal(0.0, spread, people) - spread**2 / 2)
        exposures = 20 + rng.poisson(films, people)
        _, low, high = shares(rng.binomial(exposures, rate), exposures)
        held += list((low <= rate) & (rate <= high))
    assert np.mean(held) > 0.91


def test_agrees_with_drawing_people_and_keeping_those_who_reject_as_many() -> None:
    """Bayes' rule by brute force: shares drawn beforehand, weighed by the binomial distribution."""
    rng = np.random.default_rng(2)
    rejects, exposures = np.array([2, 9, 4]), np.array([40, 60, 30])
    spread = np.abs(rng.normal(0.0, usual_spread().log_odds_sd_scale, 400_000))
    common = rng.beta(0.5, 0.5, 400_000)
    whole = 1.0 / (common * (1 - common) * spread**2) - 1.0
    known = (whole > 0.0) & (spread > 0.02) & (spread < 1.6)
    drawn = rng.beta(
        common[known] * whole[known], (1 - common[known]) * whole[known], (3, known.sum())
    )
    log = rejects @ np.log(drawn + 1e-300) + (exposures - rejects) @ np.log1p(-drawn + 1e-300)
    weight = np.exp(log - log.max())
    weight /= weight.sum()
    likely, low, high = shares(rejects, exposures)
    assert likely == pytest.approx(drawn @ weight, abs=0.006)
    for k in range(3):
        order = np.argsort(drawn[k])
        ends = np.interp([0.025, 0.975], np.cumsum(weight[order]), drawn[k][order])
        assert [low[k], high[k]] == pytest.approx(ends, abs=0.012)


def test_films_of_few_patients_say_less() -> None:
    rejects, exposures = np.array([8, 20, 14, 11]), np.full(4, 120)
    _, low, high = shares(rejects, exposures)
    _, wider_low, wider_high = shares(rejects, exposures, design_effect=2.0)
    assert ((wider_high - wider_low) > 1.05 * (high - low)).all()
    for one, other in zip(
        shares(rejects, exposures, 2.0), shares(rejects / 2, exposures / 2), strict=True
    ):
        assert one == pytest.approx(other)


def test_harder_work_is_not_held_against_anybody() -> None:
    """The same odds against what is expected, at another level of difficulty."""
    odds = logit(0.1)
    found = likely_rates([10, 30], [100, 100], [10, 30])
    assert found.likely == pytest.approx([1.0, 1.0], abs=0.1)
    likely, low, high = found.at(float(expit(odds)))
    assert (low < 0.1).all()
    assert (high > 0.1).all()
    assert likely == pytest.approx([0.1, 0.1], abs=0.01)


def test_none_rejected_and_all_rejected_stay_within_nought_and_one() -> None:
    for rejects in ([0, 0, 0], [30, 30, 30], [0, 30, 15]):
        found = likely_rates(rejects, [30] * 3, [max(sum(rejects) / 3, 0.1)] * 3)
        likely, low, high = found.at(0.2)
        assert (low >= 0.0).all()
        assert (high <= 1.0).all()
        assert (low < likely).all()
        assert (likely < high).all()

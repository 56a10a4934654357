"""Scores of the Bernoulli cusum after Steiner 2000."""

from bitewright.audit.cusum import bernoulli_scores
from tests.published.against import check, read_source

SOURCE = read_source("steiner_2000_scores")


def computed() -> dict[str, float]:
    reject, other = bernoulli_scores(0.05, 0.10)
    return {"score of a reject": reject, "score of another exposure": other}


def test_agrees_with_the_source() -> None:
    check(SOURCE, computed())

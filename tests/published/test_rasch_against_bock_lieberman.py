"""A Rasch model's estimates, after answers to five items of a law school's admission test."""

import numpy as np

from bitewright.competence.rasch import fit_rasch
from tests.published.against import check, read_source

SOURCE = read_source("bock_lieberman_1970_lsat")
PEOPLE = "3 6 2 11 1 1 3 4 1 8 0 16 0 3 2 15 10 29 14 81 3 28 15 80 16 56 21 173 11 61 28 298"
"""How many gave each pattern of five answers, from 00000 to 11111 in binary order."""


def computed() -> dict[str, float]:
    counts = [int(count) for count in PEOPLE.split()]
    patterns = [[int(digit) for digit in f"{number:05b}"] for number in range(32)]
    answers = np.repeat(np.array(patterns, dtype=float), counts, axis=0)
    count, items = answers.shape
    fit = fit_rasch(
        np.repeat(np.arange(count), items),
        np.tile(np.arange(items), count),
        answers.ravel(),
        prior_sd=None,
    )
    return {
        "spread of abilities": fit.spread,
        "log-likelihood": fit.log_likelihood,
    } | {
        f"difficulty of item {number}": float(each / fit.spread)
        for number, each in enumerate(fit.difficulty, start=1)
    }


def test_agrees_with_the_source() -> None:
    check(SOURCE, computed())

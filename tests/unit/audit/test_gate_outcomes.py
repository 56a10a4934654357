"""Odds stated at the gate against what came: places of one exposure count as one exposure."""

from statistics import NormalDist

import pytest

from bitewright.audit.gate_outcomes import DecidedAtGate, stated_and_won
from bitewright.words.gate_outcomes import gates_words

SURE = 0.8


def decision(stated: float, *read: float, is_exposing: bool = True) -> DecidedAtGate:
    names = [f"1{number}.distal" for number in range(4, 4 + max(len(read), 2))]
    return DecidedAtGate(
        exposure=1,
        is_exposing=is_exposing,
        stated=dict.fromkeys(names, stated),
        read=dict(zip(names, read, strict=True)) if read else None,
    )


def test_won_is_what_can_be_read_and_the_rest_is_told_apart() -> None:
    every, low, middle, high = stated_and_won(
        [decision(0.9, 0.95, 0.5), decision(0.6, 0.1, 0.1), decision(0.6), decision(0.4)],
        sure=SURE,
    )
    assert (every.exposures, every.places, every.won, every.doubtful) == (2, 4, 1, 1)
    assert every.stated == pytest.approx(0.75)
    assert (low.places, middle.places, high.places) == (0, 2, 2)


def test_the_interval_is_that_of_as_many_exposures() -> None:
    """Wilson 1927: centre (p + z^2/2n) / (1 + z^2/n)."""
    row = stated_and_won([decision(0.8, 0.9, 0.9)] * 7 + [decision(0.8, 0.0, 0.0)] * 3, sure=SURE)[
        0
    ]
    z = NormalDist().inv_cdf(0.975)
    assert 0.5 * (row.low + row.high) == pytest.approx((0.7 + z**2 / 20) / (1 + z**2 / 10))


def test_what_is_said_agrees_with_the_table() -> None:
    none = stated_and_won([], sure=SURE)[0]
    assert "Nobody has signed" in gates_words([], none)[0]
    many = [decision(0.9, 0.0, 0.0)] * 25 + [decision(0.5, is_exposing=False)]
    said = gates_words(many, stated_and_won(many, sure=SURE)[0])
    assert said[0] == "26 decisions at the gate: 1 not to expose, 25 to expose once more."
    assert said[-1] == "Places are won less often here than is said."

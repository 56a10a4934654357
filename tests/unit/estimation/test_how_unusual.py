"""How unusual a mouth is: whether marks speak for teeth that differ more than the prior's."""

import numpy as np
import pytest
from numpy.typing import NDArray

from bitewright.estimation import how_unusual
from bitewright.estimation.how_unusual import strangeness, unlikeness
from bitewright.estimation.seen_marks import SeenMarks

Floats = NDArray[np.float64]

EXPOSURE, WAYS = 3, 12
NAMES = tuple(f"{code}.{surface}" for code in range(13, 18) for surface in ("mesial", "distal"))
SIZE = 2 * len(NAMES)
PRIOR = np.diag([*([4.0] * EXPOSURE), *([1.0] * WAYS)])


def film(points: Floats, names: tuple[str, ...] = NAMES) -> SeenMarks:
    """Marks of one film, each 0.3 mm off by itself."""
    plain = SeenMarks(
        np.arange(len(names)),
        names,
        points,
        points,
        0.09 * np.eye(len(points)),
        np.zeros((len(points),) * 2),
        np.repeat(np.arange(len(names)), 2),
        np.ones(len(points)),
        np.zeros((len(points),) * 2),
        np.zeros(0, dtype=np.intp),
    )
    return plain.weighted(plain.weights)


STEEP = np.random.default_rng(7).normal(0.0, 0.4, (SIZE, EXPOSURE + WAYS))


def of_marks(apart: Floats, names: tuple[str, ...] = NAMES) -> float:
    """Unlikeness of marks so far (2L,) from where the prior's middle has them, told there. [mm]"""
    seen = film(apart, names)
    left, slopes = seen.whitening @ apart, seen.whitening @ STEEP
    return unlikeness([seen], [left], slopes, np.zeros(EXPOSURE + WAYS), PRIOR, EXPOSURE)


def drawn(times: float, seed: int) -> Floats:
    """Marks of a mouth that differs so many times as much as the prior's."""
    generator = np.random.default_rng(seed)
    state = np.sqrt(np.diag(PRIOR)) * generator.standard_normal(EXPOSURE + WAYS)
    state[EXPOSURE:] *= times
    return np.asarray(STEEP @ state + 0.3 * generator.standard_normal(SIZE))


def test_mouths_of_the_prior_come_to_nought_and_wider_ones_above_it() -> None:
    usual, wide = (np.array([of_marks(drawn(t, k)) for k in range(300)]) for t in (1.0, 2.0))
    assert abs(usual.mean()) < 0.15
    assert 0.4 < usual.std() < 1.1
    assert np.median(wide) > 1.5
    assert (wide > np.quantile(usual, 0.95)).mean() > 0.8


def test_it_is_the_slope_of_the_likelihood_by_the_spread_of_all_ways(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(how_unusual, "MOST", 1e6)
    apart = drawn(1.5, 3)
    mouth = STEEP[:, EXPOSURE:]

    def likelihood(more: float) -> float:
        spread = STEEP @ PRIOR @ STEEP.T + 0.09 * np.eye(SIZE) + more * mouth @ mouth.T
        pulled = float(apart @ np.linalg.solve(spread, apart))
        return -0.5 * (pulled + float(np.linalg.slogdet(spread)[1]))

    spread = STEEP @ PRIOR @ STEEP.T + 0.09 * np.eye(SIZE)
    one = np.linalg.solve(spread, mouth @ mouth.T)
    slope = (likelihood(1e-4) - likelihood(-1e-4)) / 2e-4
    expected = slope / np.sqrt(0.5 * np.trace(one @ one))
    assert of_marks(apart) == pytest.approx(expected, rel=1e-4)


def test_it_hangs_on_the_marks_and_not_on_where_the_estimate_was_taken() -> None:
    apart, at = drawn(1.0, 5), np.linspace(-1.0, 1.0, EXPOSURE + WAYS)
    seen = film(apart)
    left = seen.whitening @ (apart - STEEP @ at)
    there = unlikeness([seen], [left], seen.whitening @ STEEP, at, PRIOR, EXPOSURE)
    assert there == pytest.approx(of_marks(apart))


def test_one_way_that_stands_out_makes_no_unusual_mouth() -> None:
    one = 6.0 * STEEP[:, EXPOSURE]
    every = STEEP[:, EXPOSURE:] @ np.where(np.arange(WAYS) % 2, 2.5, -2.5)
    assert of_marks(one) < of_marks(every)
    # However far it stands out, it adds no more.
    assert of_marks(500.0 * one) == pytest.approx(of_marks(100.0 * one))


def test_cusps_count_less_than_edges() -> None:
    cusps = tuple(f"{name.partition('.')[0]}.buccal.cusp" for name in NAMES)
    apart = drawn(2.0, 1)
    assert of_marks(apart, cusps) < of_marks(apart)


def test_films_of_one_mouth_are_weighed_together() -> None:
    apart = drawn(2.0, 2)
    seen = film(apart)
    left, slopes = seen.whitening @ apart, seen.whitening @ STEEP
    size = 2 * EXPOSURE + WAYS
    wide = np.zeros((2 * SIZE, size))
    wide[:SIZE, :EXPOSURE], wide[SIZE:, EXPOSURE : 2 * EXPOSURE] = (slopes[:, :EXPOSURE],) * 2
    wide[:SIZE, 2 * EXPOSURE :] = wide[SIZE:, 2 * EXPOSURE :] = slopes[:, EXPOSURE:]
    prior = np.diag([*([4.0] * 2 * EXPOSURE), *([1.0] * WAYS)])
    both = unlikeness([seen, seen], [left, left], wide, np.zeros(size), prior, 2 * EXPOSURE)
    assert both > of_marks(apart)


def test_of_a_known_mouth_or_without_marks_nothing_is_told() -> None:
    seen = film(drawn(2.0, 0))
    slopes = seen.whitening @ STEEP[:, :EXPOSURE]
    left = seen.whitening @ seen.points
    own = PRIOR[:EXPOSURE, :EXPOSURE]
    assert unlikeness([seen], [left], slopes, np.zeros(EXPOSURE), own, EXPOSURE) == 0.0
    none = film(np.zeros(0), ())
    every = np.zeros(EXPOSURE + WAYS)
    assert (
        unlikeness([none], [np.zeros(0)], np.zeros((0, len(every))), every, PRIOR, EXPOSURE) == 0.0
    )


def test_strangeness_is_one_where_marks_tell_of_no_way() -> None:
    assert strangeness(np.full(WAYS, 3.0), np.eye(WAYS), np.eye(WAYS)) == 1.0


def test_strangeness_is_what_is_learned_over_what_is_expected() -> None:
    left = np.diag([0.2] * 4 + [0.9] * 8)
    away = np.array([np.sqrt(0.8)] * 4 + [9.0] * 8)
    assert strangeness(away, left, np.eye(WAYS)) == pytest.approx(1.0)
    assert strangeness(2.0 * away, left, np.eye(WAYS)) == pytest.approx(4.0)

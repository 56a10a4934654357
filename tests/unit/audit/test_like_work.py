"""What counts as like work: no finer than the record has films for."""

import numpy as np
import pytest

from bitewright.audit.counted_by import Dimension
from bitewright.audit.like_work import LikeWork, expected_rejects, like_work
from bitewright.audit.logged_exposures import LoggedExposures
from tests.unit.audit.made_logs import FIRST_DAY, made_log


def year(films: int) -> LoggedExposures:
    """A year's films in four views with two receptors."""
    place = np.arange(films)
    return made_log(
        rejected=np.zeros(films),
        day=FIRST_DAY + 365 * place // films,
        codes={
            Dimension.VIEW: (place % 4).tolist(),
            Dimension.RECEPTOR: (place // 4 % 2).tolist(),
        },
    )


def test_a_practices_180_films_are_told_apart_by_view_and_receptor() -> None:
    alike, kinds = like_work(year(180))
    assert alike == LikeWork(dimensions=(Dimension.VIEW, Dimension.RECEPTOR), months=False)
    assert len(np.unique(kinds)) == 8


def test_a_schools_films_are_told_apart_by_month_too() -> None:
    alike, kinds = like_work(year(12_000))
    assert alike.months
    assert len(np.unique(kinds)) == 8 * 12


def test_thirty_films_are_one_kind_of_work() -> None:
    alike, kinds = like_work(year(30))
    assert alike == LikeWork()
    assert not kinds.any()


def test_what_nobody_logged_tells_nothing_apart() -> None:
    log = made_log(rejected=np.zeros(400), day=np.full(400, FIRST_DAY))
    alike, _ = like_work(log)
    assert alike.dimensions == ()


def test_no_film_is_no_kind_of_work() -> None:
    alike, kinds = like_work(made_log(rejected=[]))
    assert alike == LikeWork()
    assert not len(kinds)


def test_expected_rejects_do_not_hang_on_how_kinds_are_numbered() -> None:
    """Few kinds under small numbers or under very large ones come to the same."""
    rng = np.random.default_rng(4)
    rejected, operator = rng.random(500) < 0.2, rng.integers(-1, 5, 500).astype(np.int32)
    kinds = rng.integers(0, 6, 500)
    by_hand = [
        sum(rejected[kinds == kinds[row]].mean() for row in np.flatnonzero(operator == k))
        for k in range(5)
    ]
    for numbered in (kinds, kinds * 10**9):
        found = expected_rejects(rejected, operator, numbered, 5)
        assert found == pytest.approx(by_hand, rel=1e-12)

"""What counts as like work: no finer than the record has films for."""

import numpy as np

from bitewright.audit.counted_by import Dimension
from bitewright.audit.like_work import LikeWork, like_work
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

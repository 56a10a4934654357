"""Rows are shared out once each, and about evenly."""

import numpy as np
import pytest

from bitewright.row_bands import ALONE, Threads, band_edges, in_row_bands


@pytest.mark.parametrize("bands", [0, 1, 2, 7, 100])
def test_bands_cover_every_row_once(bands: int) -> None:
    edges = band_edges(np.arange(20.0), bands)
    assert edges[0] == 0
    assert edges[-1] == 20
    assert (np.diff(edges) > 0).all()
    assert len(edges) <= max(bands, 1) + 1


def test_bands_have_about_equal_work() -> None:
    work = np.concatenate([np.full(90, 1.0), np.full(10, 9.0)])
    assert band_edges(work, 2) == [0, 90, 100]


@pytest.mark.parametrize("threads", [ALONE, Threads(count=3, map=map)])
def test_every_row_is_worked_on_once(threads: Threads) -> None:
    visits = np.zeros(11)

    def visit(first_row: int, end_row: int) -> None:
        visits[first_row:end_row] += 1

    in_row_bands(visit, np.ones(11), threads)
    assert (visits == 1).all()


def test_a_failure_in_a_band_is_not_swallowed() -> None:
    def fail(first_row: int, end_row: int) -> None:
        raise ArithmeticError(f"{first_row} to {end_row}")

    with pytest.raises(ArithmeticError):
        in_row_bands(fail, np.ones(4), Threads(count=2, map=map))

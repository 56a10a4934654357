"""Sharing an image's rows among threads that a task hands over."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from bitewright.steps import Begin

BANDS_OF_A_WATCHED = 8
"""Our choice: bands for each thread of work that may be stopped between two of them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Threads:
    """Workers for disjoint rows of one image.

    ``Threads(count=4, map=pool.map)`` with a ``ThreadPoolExecutor``; not with processes, for the
    work is done in place. The compiled code releases the interpreter's lock.

    Parameters
    ----------
    count : int
        Into how many bands rows are shared.
    map : callable
        As the built-in ``map``; may run the calls at once and in any order.
    """

    count: int
    map: Callable[..., Iterable[None]]


ALONE = Threads(count=1, map=map)
"""No other thread: everything in the caller's."""


def watched(threads: Threads, begin: Begin, doing: str) -> Threads:
    """The same workers on more bands, each of which `begin` is told of first and may refuse.

    Parameters
    ----------
    threads : Threads
    begin : Begin
        Called from any of the threads.
    doing : str
        What it is told: "the spectrum".
    """

    def share(
        act: Callable[[int, int], None], firsts: Iterable[int], ends: Iterable[int]
    ) -> Iterable[None]:
        def begun(first_row: int, end_row: int) -> None:
            begin(doing)
            act(first_row, end_row)

        return threads.map(begun, firsts, ends)

    return replace(threads, count=BANDS_OF_A_WATCHED * threads.count, map=share)


def in_row_bands(
    act: Callable[[int, int], None], work: NDArray[np.float64], threads: Threads
) -> None:
    """Call ``act(first_row, end_row)`` on bands of about equal work that cover every row once.

    Parameters
    ----------
    act : callable
        Must write to its own rows only.
    work : (rows,) float array
        Expected effort for each row, any unit.
    threads : Threads
    """
    edges = band_edges(work, threads.count)
    firsts, ends = zip(*pairwise(edges), strict=True)
    for _ in threads.map(act, firsts, ends):
        pass


def band_edges(work: NDArray[np.float64], bands: int) -> list[int]:
    """Rows at which bands of about equal work begin, 0 and the number of rows included.

    There are never more bands than rows, nor fewer than one.
    """
    rows = len(work)
    wanted = min(max(bands, 1), rows)
    done = np.concatenate([[0.0], np.cumsum(work)])
    cuts = np.searchsorted(done, done[-1] * np.arange(1, wanted) / wanted)
    return [0, *sorted(set(cuts.tolist()) - {0, rows}), rows]


__all__ = ["ALONE", "Threads", "band_edges", "in_row_bands", "watched"]

"""What is known to move a rate whatever else is asked: named seasons, and people learning.

Seasons are months that come back every year; learning is the rate falling, or rising, by the same
odds each time the weeks since a person began double. Our choice, after the power law of practice
(Newell A, Rosenbloom PS, in Cognitive Skills and their Acquisition, 1981, from memory).
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from bitewright.audit.counted_by import Dimension
from bitewright.audit.logged_exposures import LoggedExposures

Floats = NDArray[np.float64]

LEAST_LEFT = 0.02
"""A course of which less than this share of its variation is left when others are taken out says
nothing of its own. Our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Season:
    """Months of every year, first to last, both included; from 11 to 2 goes over the new year."""

    name: str
    first_month: int
    last_month: int

    def holds(self, month: NDArray[np.int64]) -> NDArray[np.bool_]:
        """Whether months (E,), 1 to 12, are in it."""
        after, before = month >= self.first_month, month <= self.last_month
        return after & before if self.first_month <= self.last_month else after | before


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownCourses:
    """Courses to allow for.

    Parameters
    ----------
    seasons : tuple of Season
    learning : bool
        Whether people are taken to learn, each from their first exposure in the record on.
    began : mapping of str to int
        Operators who began earlier, and when. [days since 1970-01-01]
    """

    seasons: tuple[Season, ...] = ()
    learning: bool = False
    began: Mapping[str, int] = field(default_factory=dict)

    def columns(self, log: LoggedExposures) -> Floats:
        """Value of each of C courses at each exposure, (E, C)."""
        month = log.day.astype("datetime64[D]").astype("datetime64[M]").astype(np.int64) % 12 + 1
        columns = [season.holds(month).astype(np.float64) for season in self.seasons]
        if self.learning:
            columns.append(doublings(log, self.began))
        return np.column_stack(columns) if columns else np.empty((len(log), 0))


def doublings(log: LoggedExposures, began: Mapping[str, int]) -> Floats:
    """How often the weeks since its operator began have doubled at each exposure, (E,).

    Where nobody is named, the mean of the others.
    """
    operator, names = log.code(Dimension.OPERATOR), log.names(Dimension.OPERATOR)
    known = operator >= 0
    if not known.any():
        return np.zeros(len(log))
    first = np.full(len(names), np.iinfo(np.int64).max)
    np.minimum.at(first, operator[known], log.day[known].astype(np.int64))
    for place, name in enumerate(names):
        first[place] = min(first[place], began.get(name, first[place]))
    weeks = (log.day[known] - first[operator[known]]) / 7.0
    found = np.full(len(log), np.nan)
    found[known] = np.log2(1.0 + weeks)
    return np.where(np.isnan(found), np.nanmean(found), found)


def with_own_say(columns: Floats, beside: Floats, weights: Floats) -> NDArray[np.bool_]:
    """Which of C courses (G, C) are not told by the columns beside them (G, P), or by one another.

    ``weights``: (G,). Those told so can't be kept apart, and are left out.
    """
    root = np.sqrt(weights)[:, None]
    taken = root * beside
    kept = np.zeros(columns.shape[1], dtype=np.bool_)
    for place, column in enumerate(columns.T):
        whole = root[:, 0] * (column - np.average(column, weights=weights))
        left = whole - taken @ np.linalg.lstsq(taken, whole, rcond=None)[0]
        if (left**2).sum() > LEAST_LEFT * max((whole**2).sum(), 1e-9):
            kept[place] = True
            taken = np.column_stack([taken, root[:, 0] * column])
    return kept


def with_events(columns: Floats, counts: Floats, totals: Floats, least: int) -> NDArray[np.bool_]:
    """Which of C courses (G, C) have so many events, and so many without, where high and where low.

    ``counts`` and ``totals`` are (G,).
    """
    high = columns > columns.mean(axis=0)
    found = [
        min(hits[side].sum() for hits in (counts, totals - counts) for side in (one, ~one)) >= least
        for one in high.T
    ]
    return np.array(found, dtype=np.bool_)


__all__ = ["KnownCourses", "Season", "doublings", "with_events", "with_own_say"]

"""The weeks that an answer about change or drift tells of, each with the films taken in them."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from bitewright.audit.dated_change import BeforeAfter
from bitewright.audit.groupings import date_of
from bitewright.audit.unexplained_change import ChangePoint
from bitewright.audit.whole_audit import ChangeView
from bitewright.tasks.audit.page_request import PageRequest
from bitewright.words.audit_page import (
    drift_until_sure,
    first_weeks,
    may_have_begun,
    weeks_between,
)

WEEK_DAYS = 7


@dataclass(frozen=True, slots=True, kw_only=True)
class ToldWeeks:
    """Some weeks in words, their films counted, and the addresses of these."""

    says: str
    counted: int
    total: int
    counted_films: str
    films: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WeeksTold:
    """Finds the films of weeks; ``told``: the view of them, ``request``: what a page was asked."""

    told: ChangeView
    request: PageRequest

    def of_change(self, change: BeforeAfter) -> tuple[ToldWeeks, ...]:
        """Both sides of a named change, from the one before it to the one after it."""
        days = sorted(day for _, day in self.told.settings.changes)
        return self._sides(change.day, [self._first_week(day) for day in days])

    def of_points(self) -> tuple[ToldWeeks, ...]:
        """Both sides of each change that nobody named, and the weeks in which it may have begun."""
        named = [self._first_week(day) for _, day in self.told.settings.changes]
        edges = sorted([*named, *(point.day for point in self.told.points)])
        told = (each for point in self.told.points for each in self._of_point(point, edges))
        return tuple(dict.fromkeys(told))  # what lies between two changes is told of both

    def of_drift(self) -> tuple[ToldWeeks, ...]:
        """The weeks a drift is measured from, and those in which it showed; none without one."""
        watch = self.told.drift
        if watch is None:
            return ()
        weeks = self.told.weeks.starts[watch.reference :]
        signals = (
            (watch.cusum.signal_up, watch.cusum.began_up),
            (watch.cusum.signal_down, watch.cusum.began_down),
        )
        shown = [
            (int(weeks[began]), int(weeks[sure]))
            for sure, began in signals
            if sure is not None and began is not None
        ]
        if not shown:
            return ()
        first = self._weeks(first_weeks(watch.reference), None, int(weeks[0]))
        told = [
            self._weeks(drift_until_sure(date_of(began), date_of(sure)), began, sure + WEEK_DAYS)
            for began, sure in shown
        ]
        return tuple(each for each in (first, *told) if each is not None)

    def _of_point(self, point: ChangePoint, edges: list[int]) -> Iterator[ToldWeeks]:
        yield from self._sides(point.day, edges)
        end = point.last_day + WEEK_DAYS
        says = may_have_begun(date_of(point.first_day), date_of(point.last_day))
        likely = self._weeks(says, point.first_day, end)
        if likely is not None:
            yield likely

    def _sides(self, day: int, edges: list[int]) -> tuple[ToldWeeks, ...]:
        """The weeks before one that begins on a day or later, and those from it on."""
        cut = self._first_week(day)
        first = max((edge for edge in edges if edge < cut), default=None)
        end = min((edge for edge in edges if edge > cut), default=None)
        sides = (
            self._weeks(weeks_between(_date(first), date_of(cut)), first, cut),
            self._weeks(weeks_between(date_of(cut), _date(end)), cut, end),
        )
        return tuple(side for side in sides if side is not None)

    def _first_week(self, day: int) -> int:
        """First day of the first week that begins on a day or after it, be there films or not."""
        starts = self.told.weeks.starts
        return day + int((starts[0] - day) % WEEK_DAYS) if len(starts) else day

    def _weeks(self, says: str, first: int | None, end: int | None) -> ToldWeeks | None:
        """The films from one day to before another; None where there is none."""
        weeks = self.told.weeks.between(first, end)
        total = int(np.sum(weeks.totals))
        if not total:
            return None
        wanted, asked = self.request.wanted, {}
        if first is not None:
            asked["since"] = date_of(_latest(first, wanted.first_day))
        if end is not None:
            asked["until"] = date_of(_earliest(end - 1, wanted.last_day))
        return ToldWeeks(
            says=says,
            counted=int(np.sum(weeks.counts)),
            total=total,
            counted_films=self.request.counted_films(**asked),
            films=self.request.decided_films(**asked),
        )


def _date(day: int | None) -> str | None:
    return None if day is None else date_of(day)


def _latest(day: int, other: int | None) -> int:
    return day if other is None else max(day, other)


def _earliest(day: int, other: int | None) -> int:
    return day if other is None else min(day, other)


__all__ = ["ToldWeeks", "WeeksTold"]

"""Exposures as the log has them after its corrections, in columns: what every audit reads."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, fields, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from bitewright.audit.cases import Cases, Codes
from bitewright.audit.counted_by import Dimension, Event
from bitewright.errors import BitewrightError, listed_plainly, quoted

Flags = NDArray[np.bool_]
Singles = NDArray[np.float32]

NOT_GIVEN = -1


class NothingLoggedError(BitewrightError):
    """There is no exposure to audit."""

    def __init__(self) -> None:
        super().__init__(
            "No exposure is left to audit: give a record with exposures, or a wider filter."
        )


class UnequalColumnsError(BitewrightError):
    """Columns of one log differ in length, or hold codes without a label."""

    def __init__(self, column: str, problem: str) -> None:
        self.column = column
        super().__init__(f"The column '{column}' {problem}: make the columns afresh from the log.")


class UnknownLabelError(BitewrightError):
    """A filter names a label that no exposure has."""

    def __init__(self, dimension: Dimension, given: str, known: Sequence[str]) -> None:
        self.dimension = dimension
        self.given = given
        some = listed_plainly(known) or "none at all"
        super().__init__(
            f"No exposure in the log has {dimension.value} {quoted(given)}; there are {some}: "
            "name one of them."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Filter:
    """Which exposures to look at; an empty filter takes all.

    Parameters
    ----------
    only : mapping of Dimension to labels
        Allowed labels of each dimension named; dimensions left out are not asked about.
    first_day, last_day : int or None
        First and last day taken, both included. [days since 1970-01-01]
    """

    only: Mapping[Dimension, tuple[str, ...]]
    first_day: int | None = None
    last_day: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LoggedExposures:
    """N exposures, one row each, as they stand after corrections; and M faults seen on them.

    Parameters
    ----------
    labels : mapping of Dimension to sequence of str
        What each code stands for.
    codes : mapping of Dimension to (N,) int32 array
        -1 where not given. A dimension may be left out where no exposure has it.
    day : (N,) int32 array
        Day of the exposure. [days since 1970-01-01]
    rejected : (N,) bool array
        Exposed, not kept for assessment.
    retake : (N,) bool array
        Itself a further exposure for the same purpose because of a fault. An extra view or a
        planned stage is none.
    retake_succeeded : (N,) int8 array
        1 yes, 0 no, -1 not known or no retake.
    rating_labels : tuple of str
        Scheme and grade as one word, such as "uk-2020:A".
    rating : (N,) int32 array
        Code into `rating_labels`, -1 where not rated.
    fault_labels : tuple of str
    fault_row : (M,) int32 array
        Row of the exposure that shows the fault; rising.
    fault : (M,) int16 array
        Code into `fault_labels`.
    fault_size : (M,) float32 array
        In the fault's own unit; NaN where not measured.
    numbers : mapping of str to (N,) float32 array
        By field: errors of aim and place found by an assessment, positive with the tube too far to
        the front, with the tube too high, with the receptor too far to the front, with the
        receptor too high; and their standard uncertainties. NaN where there was no assessment. A
        field may be left out where no exposure has it.

    Raises
    ------
    UnequalColumnsError
    """

    labels: Mapping[Dimension, Sequence[str]]
    codes: Mapping[Dimension, Codes]
    day: Codes
    rejected: Flags
    retake: Flags
    retake_succeeded: NDArray[np.int8]
    rating_labels: tuple[str, ...]
    rating: Codes
    fault_labels: tuple[str, ...]
    fault_row: Codes
    fault: NDArray[np.int16]
    fault_size: Singles
    numbers: Mapping[str, Singles]
    _cases: list[Cases] = field(default_factory=list, init=False, repr=False)
    """Once they were asked for."""

    def __post_init__(self) -> None:
        count = len(self.day)
        for name in ROW_COLUMNS:
            _same_length(name, getattr(self, name), count)
        for name in FAULT_COLUMNS:
            _same_length(name, getattr(self, name), len(self.fault_row))
        for name, column in self.numbers.items():
            _same_length(name, column, count)
        for dimension, code in self.codes.items():
            _same_length(dimension.value, code, count)
            _labelled(dimension.value, code, len(self.labels[dimension]))
        _labelled("rating", self.rating, len(self.rating_labels))
        _labelled("fault", self.fault, len(self.fault_labels))
        _labelled("fault_row", self.fault_row, count)

    def __len__(self) -> int:
        return len(self.day)

    def happened(self, event: Event) -> NDArray[np.bool_]:
        """Which exposures an event happened to, (N,)."""
        return self.rejected if event is Event.REJECT else self.retake

    def code(self, dimension: Dimension) -> Codes:
        """Codes of a dimension, (N,); -1 everywhere where the log does not have it."""
        found = self.codes.get(dimension)
        return np.full(len(self), NOT_GIVEN, dtype=np.int32) if found is None else found

    @property
    def cases(self) -> Cases:
        """Which exposures lie in one case, the same for every question of this log."""
        if not self._cases:
            self._cases.append(Cases(code=self.code(Dimension.CASE)))
        return self._cases[0]

    def number(self, name: str) -> Singles:
        """A field's numbers, (N,); NaN everywhere where the log does not have it."""
        found = self.numbers.get(name)
        return np.full(len(self), np.nan, dtype=np.float32) if found is None else found

    def names(self, dimension: Dimension) -> Sequence[str]:
        """Labels of a dimension; none where the log does not have it."""
        return self.labels.get(dimension, ())

    def chosen(self, wanted: Filter) -> Flags:
        """Which rows a filter takes, (N,).

        Raises
        ------
        UnknownLabelError
            If a label it names is not in the log.
        """
        mask = np.ones(len(self), dtype=np.bool_)
        for dimension, names in wanted.only.items():
            mask &= self._allowed(dimension, names)[self.code(dimension)]
        if wanted.first_day is not None:
            mask &= self.day >= wanted.first_day
        if wanted.last_day is not None:
            mask &= self.day <= wanted.last_day
        return mask

    def with_fault(self, name: str) -> Flags:
        """Which rows show a fault, (N,)."""
        mask = np.zeros(len(self), dtype=np.bool_)
        if name in self.fault_labels:
            mask[self.fault_row[self.fault == self.fault_labels.index(name)]] = True
        return mask

    def with_rating(self, rating: str) -> Flags:
        """Which rows have a rating such as "uk-2020:A", (N,)."""
        if rating not in self.rating_labels:
            return np.zeros(len(self), dtype=np.bool_)
        mask: Flags = self.rating == self.rating_labels.index(rating)
        return mask

    def where(self, mask: Flags) -> "LoggedExposures":
        """The rows of a mask (N,) with their faults; labels and codes stay as they are."""
        if mask.all():
            return self
        place = np.flatnonzero(mask)
        kept = mask[self.fault_row]
        renumbered = np.cumsum(mask, dtype=np.int32) - np.int32(1)
        shorter: dict[str, Any] = {name: getattr(self, name)[place] for name in ROW_COLUMNS}
        shorter["codes"] = {dimension: code[place] for dimension, code in self.codes.items()}
        shorter["numbers"] = {name: column[place] for name, column in self.numbers.items()}
        shorter["fault_row"] = renumbered[self.fault_row[kept]]
        shorter["fault"] = self.fault[kept]
        shorter["fault_size"] = self.fault_size[kept]
        return replace(self, **shorter)

    def taken(self, wanted: Filter) -> "LoggedExposures":
        """The exposures a filter takes; raises as `chosen`."""
        return self.where(self.chosen(wanted))

    def _allowed(self, dimension: Dimension, names: Sequence[str]) -> Flags:
        """Whether each code is allowed, with one more at the end for what is not given."""
        known = self.names(dimension)
        allowed = np.zeros(len(known) + 1, dtype=np.bool_)
        place = {name: index for index, name in enumerate(known)}
        for name in names:
            if name not in place:
                raise UnknownLabelError(dimension, name, known)
            allowed[place[name]] = True
        return allowed


def _same_length(name: str, column: NDArray[Any], count: int) -> None:
    if column.shape != (count,):
        raise UnequalColumnsError(name, f"holds {column.shape} values where {count} are needed")


def _labelled(name: str, codes: NDArray[Any], labels: int) -> None:
    if len(codes) and not (codes.min() >= NOT_GIVEN and codes.max() < labels):
        raise UnequalColumnsError(name, f"holds codes beyond its {labels} labels")


_ODD = {"labels", "codes", "numbers", "rating_labels", "fault_labels", "_cases"}
FAULT_COLUMNS = ("fault_row", "fault", "fault_size")
ROW_COLUMNS = tuple(
    each.name
    for each in fields(LoggedExposures)
    if each.name not in _ODD and each.name not in FAULT_COLUMNS
)
"""Names of the columns that hold one value an exposure."""


__all__ = [
    "FAULT_COLUMNS",
    "NOT_GIVEN",
    "ROW_COLUMNS",
    "Filter",
    "LoggedExposures",
    "NothingLoggedError",
    "UnequalColumnsError",
    "UnknownLabelError",
]

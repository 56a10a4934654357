"""Which exposures lie in one case, worked out once for every question that asks of it."""

from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

Codes = NDArray[np.int32]
Floats = NDArray[np.float64]
Places = NDArray[np.intp]

MOST_PAIRS = 4
"""Pairs an exposure, up to which every pair of a case is listed. Our choice: as many as in cases of
nine; larger cases are sorted for each question, which is then as fast and takes less memory."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Cases:
    """The cases of E exposures.

    Parameters
    ----------
    code : (E,) int32 array
        Case of each exposure, -1 where not given: such an exposure stands alone.
    """

    code: Codes

    def __len__(self) -> int:
        return len(self.code)

    @cached_property
    def _places(self) -> Codes:
        """Place of each exposure's case among `sizes`, (E,); -1 where not given."""
        if int(self.code.max(initial=0)) <= 2 * len(self):
            return self.code
        # Few exposures of a record with many cases.
        there, places = np.unique(self.code, return_inverse=True)
        return np.asarray(places - int((there < 0).sum()), dtype=np.int32)

    @cached_property
    def sizes(self) -> NDArray[np.int64]:
        """Exposures of each of C cases, (C,), in the order of their codes; 0 where one has none."""
        return code_counts(self._places, 0)

    @cached_property
    def not_given(self) -> int:
        """Exposures whose case is not given."""
        return len(self) - int(self.sizes.sum())

    @cached_property
    def others(self) -> float:
        """How many others of its case an exposure has beside it, on average."""
        squared = (self.sizes.astype(np.float64) ** 2).sum() + float(self.not_given)
        return float(squared / max(len(self), 1) - (1.0 if len(self) else 0.0))

    def hits(self, events: NDArray[np.bool_]) -> NDArray[np.int64]:
        """Events (E,) in each case, (C,), in the order of `sizes`."""
        return code_counts(self._places[events], len(self.sizes))

    def others_within(self, group: Codes, groups: int) -> Floats:
        """How many others of its case and group an exposure has beside it, on average; (G,).

        Groups are (E,), -1 where not given.
        """
        if not self._are_small:
            return self._by_cells(group, groups)
        one, other = self._pairs
        of = group[one]
        pairs = code_counts(of[of == group[other]], groups)
        return _beside(code_counts(group, groups), pairs)

    def _by_cells(self, group: Codes, groups: int) -> Floats:
        """As `others_within`, by the size of every case within a group."""
        size, of_cell = self._cells(group)
        total = np.bincount(of_cell, weights=size, minlength=groups)
        squared = np.bincount(of_cell, weights=size**2, minlength=groups)
        return _beside(total, (squared - total) / 2.0)

    @cached_property
    def _are_small(self) -> bool:
        """Whether there are few enough pairs to list them."""
        sizes = self.sizes.astype(np.float64)
        return bool((sizes * (sizes - 1.0)).sum() / 2.0 <= MOST_PAIRS * len(self))

    @cached_property
    def _pairs(self) -> tuple[Places, Places]:
        """Every two exposures of one case, once: places of the one and of the other."""
        order = np.argsort(self.code)
        case = self.code[order]
        first = np.flatnonzero(case >= 0)
        ones: list[Places] = []
        others: list[Places] = []
        while True:  # those that have a neighbour so far on in their case still
            apart = len(ones) + 1
            first = first[: np.searchsorted(first, len(case) - apart)]
            first = first[case[first] == case[first + apart]]
            if not len(first):
                break
            ones.append(order[first])
            others.append(order[first + apart])
        nothing = np.empty(0, dtype=np.intp)
        return np.concatenate([nothing, *ones]), np.concatenate([nothing, *others])

    def _cells(self, group: Codes) -> tuple[Floats, NDArray[np.int64]]:
        """Size and group of every case within a group."""
        given = group >= 0
        cases, groups = self.code[given].astype(np.int64), group[given].astype(np.int64)
        most = int(cases.max(initial=-1)) + 1
        alone = np.where(cases >= 0, cases, most + np.arange(len(cases)))
        width = most + len(cases)
        cell, size = np.unique(alone + groups * width, return_counts=True)
        return size.astype(np.float64), cell // max(width, 1)


def code_counts(codes: Codes, groups: int) -> NDArray[np.int64]:
    """How often each of G codes is there, (G,), -1 left out."""
    # One on, so that what is not given is counted too, and then left out.
    return np.bincount(codes + np.int32(1), minlength=groups + 1)[1:]


def _beside(total: NDArray[Any], pairs: NDArray[Any]) -> Floats:
    """Others beside an exposure on average, of groups (G,) with so many exposures and pairs."""
    squared = total + 2.0 * pairs
    return np.asarray(squared / np.maximum(total, 1.0) - np.where(total > 0, 1.0, 0.0))


def cases_of(given: Codes | Cases) -> Cases:
    """The cases of exposures, also of those given by their codes alone, (E,)."""
    return given if isinstance(given, Cases) else Cases(code=given)


__all__ = ["Cases", "Codes", "cases_of", "code_counts"]

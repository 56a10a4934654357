"""What the page of the log shows: a list, and one exposure with its history, in words."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from bitewright.audit.counted_by import Dimension
from bitewright.log.fields import as_text
from bitewright.store.opening import NoStoreError
from bitewright.tasks.log.read_log import ListRequest, LogList, list_log, show_exposure
from bitewright.words.log import history_line, listed_words, taken_away
from bitewright.words.log_titles import field_title, field_value_title, label_title
from bitewright.words.stores import left_out

SHOWN = ("day", "operator", "view", "receptor", "rating", "faults", "decision")
FILTERED = (
    Dimension.VIEW,
    Dimension.OPERATOR,
    Dimension.RECEPTOR,
    Dimension.ROOM,
    Dimension.SUPERVISOR,
    Dimension.LEVEL,
    Dimension.REASON,
)
MOST_OFFERED = 500
"""Labels of one dimension that a filter offers; all are found by their address. Our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Option:
    """A label that a list can be filtered by."""

    name: str
    title: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ListPage:
    """A list as the page shows it.

    Parameters
    ----------
    said : str
        How many there are, and how they were decided.
    headings : tuple of str
    rows : list of number, cells in words and whether a decision is still open; newest first
    more : int
        How many of those found are not listed.
    damaged : str
        What is left out, if anything.
    filters : mapping of str to tuple of Option
        Labels there are, by dimension; dimensions the log has nothing of are left out.
    """

    said: str
    headings: tuple[str, ...]
    rows: list[dict[str, Any]]
    more: int
    damaged: str
    filters: Mapping[str, tuple[Option, ...]]


def list_page(request: ListRequest) -> ListPage:
    """The exposures a request takes; an empty list where there is no store yet.

    Raises
    ------
    UnknownLabelError, FieldValueError
    """
    try:
        found = list_log(request)
    except NoStoreError:
        found = LogList(found=0, rejected=0, undecided=0, exposures=(), people={})
    listed = len(found.exposures)
    return ListPage(
        said=listed_words(
            listed=listed, found=found.found, rejected=found.rejected, undecided=found.undecided
        ),
        headings=tuple(field_title(name) for name in SHOWN),
        rows=[
            {
                "number": each.number,
                "cells": [_words(name, each.state.get(name)) for name in SHOWN],
                "is_open": "decision" not in each.state,
            }
            for each in reversed(found.exposures)
        ],
        more=found.found - listed,
        damaged=left_out(found.damaged) if found.damaged else "",
        filters=_filters(found.labels),
    )


def _words(name: str, value: object) -> str:
    return "" if value is None else field_value_title(name, value)


def _filters(labels: Mapping[Dimension, Sequence[str]]) -> dict[str, tuple[Option, ...]]:
    return {
        dimension.value: tuple(
            Option(name=label, title=label_title(dimension, label))
            for label in sorted(labels.get(dimension, ()))[:MOST_OFFERED]
        )
        for dimension in FILTERED
        if labels.get(dimension)
    }


@dataclass(frozen=True, slots=True, kw_only=True)
class ExposurePage:
    """One exposure as the page shows it.

    Parameters
    ----------
    number : int
    fields : list of title and words
    history : list of line and changes
    texts : mapping of str to str
        Its fields as a correction's form takes them.
    decision : str
        As it stands; empty where none was taken.
    """

    number: int
    fields: list[tuple[str, str]]
    history: list[dict[str, Any]]
    texts: Mapping[str, str]
    decision: str


def exposure_page(given: str) -> ExposurePage:
    """One exposure by number or key.

    Raises
    ------
    NoStoreError, NoSuchEntryError
    """
    found = show_exposure(given, None)
    return ExposurePage(
        number=found.entries[0].number,
        fields=[(field_title(name), _words(name, value)) for name, value in found.state.items()],
        history=[
            {
                "line": history_line(
                    each.entry.act,
                    each.entry.written_at,
                    by=each.entry.written_by,
                    why=each.entry.why if each.entry.about is not None else None,
                    key=each.entry.key,
                ),
                "changes": [
                    (field_title(name), taken_away() if value is None else _words(name, value))
                    for name, value in each.entry.body.items()
                ]
                if each.entry.about is not None
                else [],
            }
            for each in found.entries
        ],
        texts={name: as_text(name, value) for name, value in found.state.items()},
        decision=str(found.state.get("decision", "")),
    )


__all__ = ["ExposurePage", "ListPage", "Option", "exposure_page", "list_page"]

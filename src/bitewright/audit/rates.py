"""Reject and retake rates by whatever tells exposures apart."""

from dataclasses import dataclass

import numpy as np

from bitewright.audit.cases import cases_of
from bitewright.audit.counted_by import Dimension, Event
from bitewright.audit.design_effect import Likeness, likeness_of
from bitewright.audit.groupings import Grouping
from bitewright.audit.logged_exposures import LoggedExposures
from bitewright.audit.proportions import (
    CONFIDENCE,
    Share,
    share_of,
    wilson,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class RateTable:
    """An event's rate in each group, and over all.

    ``clustering``: design effect over all; each group's interval is widened by its own.
    ``not_given``: exposures whose group is not in the log; they count in ``overall`` only.
    ``without_case``: exposures whose case is not.
    """

    name: str
    event: Event
    labels: tuple[str, ...]
    shares: tuple[Share, ...]
    overall: Share
    clustering: float
    not_given: int
    without_case: int


def rates_by(
    log: LoggedExposures,
    grouping: Grouping,
    event: Event,
    *,
    confidence: float = CONFIDENCE,
    likeness: Likeness | None = None,
) -> RateTable:
    """Rates of an event by group, with Wilson's intervals; groups without an exposure left out.

    Intervals are widened by how alike exposures of a case are in the whole of the log, so that one
    share has one interval however the log is told apart. ``likeness``: the log's own in this event,
    where it was worked out before.

    Source: reject rate = rejected / all exposures (AAPM Report 305, 2023).
    """
    flags = log.happened(event)
    totals, counts = grouping.counts(), grouping.counts(flags)
    likeness = likeness or likeness_in(log, event)
    widening = likeness.design_effects(log.cases, grouping.codes, len(grouping.labels))
    low, high = wilson(counts, totals, confidence=confidence, design_effect=widening)
    over_all = likeness.design_effect(log.cases)
    present = sorted((int(k) for k in np.flatnonzero(totals)), key=lambda k: grouping.labels[k])
    shares = tuple(
        Share(
            count=int(counts[k]),
            total=int(totals[k]),
            low=float(low[k]),
            high=float(high[k]),
            confidence=confidence,
        )
        for k in present
    )
    return RateTable(
        name=grouping.name,
        event=event,
        labels=tuple(grouping.labels[k] for k in present),
        shares=shares,
        overall=share_of(int(flags.sum()), len(log), confidence=confidence, design_effect=over_all),
        clustering=float(over_all.value),
        not_given=int(len(log) - totals.sum()),
        without_case=likeness.not_given,
    )


def likeness_in(log: LoggedExposures, event: Event) -> Likeness:
    """How alike exposures of a case are in an event (`likeness_of`)."""
    return likeness_of(log.happened(event), log.cases)


def retakes_that_succeeded(log: LoggedExposures) -> Share:
    """Of the retakes whose outcome is known, how many succeeded."""
    known = log.retake & (log.retake_succeeded >= 0)
    succeeded, cases = log.retake_succeeded[known] == 1, cases_of(log.code(Dimension.CASE)[known])
    widening = likeness_of(succeeded, cases).design_effect(cases)
    return share_of(int(succeeded.sum()), int(known.sum()), design_effect=widening)


__all__ = ["RateTable", "likeness_in", "rates_by", "retakes_that_succeeded"]

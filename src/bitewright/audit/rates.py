"""Reject and retake rates by whatever tells exposures apart."""

from dataclasses import dataclass

import numpy as np

from bitewright.audit.counted_by import Dimension, Event
from bitewright.audit.groupings import Grouping
from bitewright.audit.logged_exposures import LoggedExposures
from bitewright.audit.proportions import (
    CONFIDENCE,
    Share,
    design_effect,
    share_of,
    wilson,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class RateTable:
    """An event's rate in each group, and over all.

    ``clustering``: design effect of exposures of one case; intervals are widened by it.
    ``not_given``: exposures whose group is not in the log; they count in ``overall`` only.
    """

    name: str
    event: Event
    labels: tuple[str, ...]
    shares: tuple[Share, ...]
    overall: Share
    clustering: float
    not_given: int


def rates_by(
    log: LoggedExposures, grouping: Grouping, event: Event, *, confidence: float = CONFIDENCE
) -> RateTable:
    """Rates of an event by group, with Wilson's intervals; groups without an exposure left out.

    Source: reject rate = rejected / all exposures (AAPM Report 305, 2023).
    """
    flags = log.happened(event)
    totals, counts = grouping.counts(), grouping.counts(flags)
    widening = design_effect(flags, grouping.codes, log.code(Dimension.CASE)) if len(log) else 1.0
    low, high = wilson(counts, totals, confidence=confidence, design_effect=widening)
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
        overall=share_of(int(flags.sum()), len(log), confidence=confidence, design_effect=widening),
        clustering=widening,
        not_given=int(len(log) - totals.sum()),
    )


def retakes_that_succeeded(log: LoggedExposures) -> Share:
    """Of the retakes whose outcome is known, how many succeeded."""
    known = log.retake & (log.retake_succeeded >= 0)
    return share_of(int((log.retake_succeeded[known] == 1).sum()), int(known.sum()))


__all__ = ["RateTable", "rates_by", "retakes_that_succeeded"]

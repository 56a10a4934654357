"""Which faults there are most of, and how much of the whole the first few make up."""

from dataclasses import dataclass

import numpy as np

from bitewright.audit.logged_exposures import LoggedExposures
from bitewright.audit.proportions import Proportion

FEWEST_NOTED = 10
"""From fewer faults, or rejected films with one, it is not told which is frequent. Our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FaultCount:
    """One fault among all faults.

    Parameters
    ----------
    label : str
    among_faults : Proportion
        Of all faults seen.
    among_exposures : Proportion
        Of all exposures, however many faults each has.
    rejected : Proportion
        Of the exposures with this fault, those rejected.
    cumulative : float
        Share of all faults that this and the more frequent ones make up.
    typical_size : float or None
        Median size where it was measured, in the fault's own unit.
    """

    label: str
    among_faults: Proportion
    among_exposures: Proportion
    rejected: Proportion
    cumulative: float
    typical_size: float | None


def fault_pareto(log: LoggedExposures, *, rejects_only: bool = False) -> tuple[FaultCount, ...]:
    """Faults, the most frequent first. ``rejects_only``: faults of rejected exposures alone."""
    rejected = log.rejected[log.fault_row]
    wanted = rejected if rejects_only else np.ones_like(rejected)
    fault, row, size = log.fault[wanted], log.fault_row[wanted], log.fault_size[wanted]
    rejected = rejected[wanted]
    counts = np.bincount(fault, minlength=len(log.fault_labels))
    # An exposure that lists one fault twice is one exposure with it.
    seen = np.sort(fault.astype(np.int64) * len(log) + row)
    seen = seen[np.diff(seen, prepend=-1) > 0]
    exposures = np.bincount(seen // max(len(log), 1), minlength=len(log.fault_labels))
    bad = np.bincount(fault[rejected], minlength=len(log.fault_labels))
    order = [int(k) for k in np.argsort(-counts, kind="stable") if counts[k]]
    running = np.cumsum(counts[order])
    total = int(counts.sum())
    among = int(log.rejected.sum()) if rejects_only else len(log)
    return tuple(
        FaultCount(
            label=log.fault_labels[k],
            among_faults=Proportion(count=int(counts[k]), total=total),
            among_exposures=Proportion(count=int(exposures[k]), total=among),
            rejected=Proportion(count=int(bad[k]), total=int(counts[k])),
            cumulative=float(running[place] / total),
            typical_size=_median(size[fault == k]),
        )
        for place, k in enumerate(order)
    )


def _median(sizes: np.ndarray[tuple[int], np.dtype[np.float32]]) -> float | None:
    known = sizes[~np.isnan(sizes)]
    return float(np.median(known)) if len(known) else None


__all__ = ["FEWEST_NOTED", "FaultCount", "fault_pareto"]

"""Odds stated at the gate before another exposure, against what the further films showed."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from bitewright.audit.proportions import wilson

BINS = (0.0, 0.5, 0.8, 1.0001)
"""Chances told apart. Our choice: few, for decisions are few."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DecidedAtGate:
    """One decision that was signed at the gate.

    Parameters
    ----------
    exposure : int
        Number of the exposure in the log that it is about.
    is_exposing : bool
        Whether it was decided to expose once more.
    stated : mapping of str to float
        By place, how likely the further film was said to show it; empty where none was offered.
    read : mapping of str to float or None
        By place, how likely it can be read on that film; None where no outcome is kept.
    """

    exposure: int
    is_exposing: bool
    stated: Mapping[str, float]
    read: Mapping[str, float] | None


@dataclass(frozen=True, slots=True, kw_only=True)
class StatedAndWon:
    """Places with stated odds and an outcome.

    Parameters
    ----------
    label : str
    exposures, places : int
    stated : float
        Mean of the chances stated; NaN of none.
    won, doubtful : int
    low, high : float
        95% interval of the share won, as if each exposure told once: places of one exposure are
        won or lost together (Wilson's, of as many exposures).
    """

    label: str
    exposures: int
    places: int
    stated: float
    won: int
    doubtful: int
    low: float
    high: float


def stated_and_won(decisions: Sequence[DecidedAtGate], *, sure: float) -> tuple[StatedAndWon, ...]:
    """All places of further exposures with an outcome, and by the chance stated.

    Parameters
    ----------
    decisions : sequence of DecidedAtGate
    sure : float
        From this chance on a place is said to be readable; below one less it, unread.
    """
    told = [each for each in decisions if each.is_exposing and each.read is not None]
    rows = [_row("all", told, 0.0, BINS[-1], sure)]
    for low, high in pairwise(BINS):
        rows.append(_row(f"{low:.0%} to {min(high, 1.0):.0%}", told, low, high, sure))
    return tuple(rows)


def _row(
    label: str, told: Sequence[DecidedAtGate], least: float, most: float, sure: float
) -> StatedAndWon:
    by_exposure = [
        [
            (chance, (each.read or {}).get(place, 0.0))
            for place, chance in each.stated.items()
            if least <= chance < most
        ]
        for each in told
    ]
    own = [each for each in by_exposure if each]
    places = [place for each in own for place in each]
    won = sum(read >= sure for _, read in places)
    share = won / len(places) if places else float("nan")
    low, high = wilson(share * len(own), len(own)) if own else (float("nan"), float("nan"))
    return StatedAndWon(
        label=label,
        exposures=len(own),
        places=len(places),
        stated=sum(chance for chance, _ in places) / len(places) if places else float("nan"),
        won=won,
        doubtful=sum(1.0 - sure < read < sure for _, read in places),
        low=float(low),
        high=float(high),
    )


__all__ = ["DecidedAtGate", "StatedAndWon", "stated_and_won"]

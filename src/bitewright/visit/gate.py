"""The gate before another exposure: what not exposing leaves unread, and whether one is offered."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple

from bitewright.equipment.tubes import FieldShape
from bitewright.figure_tables import figures_of
from bitewright.quality.views import View, view
from bitewright.quality.wanted import wanted
from bitewright.visit.ledger import UNREAD, Ledger, LedgerRow, Reading
from bitewright.visit.sites import bitewing_views

MOST_FAILED = 2
"""After so many failed films of a view no further one of it. Common practice, no source."""


class Withheld(StrEnum):
    """Why no exposure is offered."""

    NOTHING_UNREAD = "nothing-unread"
    ONLY_DOUBTFUL = "only-doubtful"
    NOT_MARKED = "not-marked"
    NO_PURPOSE = "no-purpose"
    NO_CAUSE = "no-cause"
    NO_CHANGE = "no-change"
    TWO_FAILED = "two-failed"


@dataclass(frozen=True, slots=True, kw_only=True)
class Stated:
    """What a person states before another exposure is spoken of; empty where nothing is said.

    Parameters
    ----------
    purpose : str
        What it is wanted for in this patient.
    cause, change : str
        Why the film that failed did, and what will be changed.
    """

    purpose: str = ""
    cause: str = ""
    change: str = ""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Gate:
    """What stands before another exposure.

    Parameters
    ----------
    unread : tuple of LedgerRow
        What not exposing surely leaves unread.
    doubtful, not_marked : tuple of LedgerRow
        What is not known: the marks leave it open; nobody marked it where a film may show it, and
        no other film shows it.
    failed : dict of str to int
        Films of each view that did not show what they were needed for.
    views : tuple of View
        Those that may be tried: of a side with something unread, failed fewer than twice.
    withheld : tuple of Withheld
        Why no exposure is offered; empty where one may be.
    """

    unread: tuple[LedgerRow, ...]
    doubtful: tuple[LedgerRow, ...]
    not_marked: tuple[LedgerRow, ...]
    failed: dict[str, int]
    views: tuple[View, ...]
    withheld: tuple[Withheld, ...]

    @property
    def is_offered(self) -> bool:
        """Whether an exposure may be spoken of."""
        return not self.withheld


def gate(of: Ledger, stated: Stated) -> Gate:
    """The gate of a visit.

    A view fails where the question needs a place of it that is unread on its film and on all
    others. A place that no film was taken for is no repeat, and asks for no cause. While a place is
    not marked nothing is offered, be it hidden on every other film: the film may show it.
    """
    unread = of.needed(*UNREAD)
    doubtful, not_marked = of.needed(Reading.DOUBTFUL), of.needed(Reading.NOT_MARKED)
    failed = _failed(of, unread)
    views = _views(of, unread, failed)
    is_repeat = any(row.reading is not Reading.NOT_TAKEN for row in unread)
    reasons = {
        Withheld.NOTHING_UNREAD: not (unread or doubtful or not_marked),
        Withheld.ONLY_DOUBTFUL: bool(doubtful) and not (unread or not_marked),
        Withheld.NOT_MARKED: bool(not_marked),
        Withheld.NO_PURPOSE: bool(unread) and not stated.purpose.strip(),
        Withheld.NO_CAUSE: is_repeat and not stated.cause.strip(),
        Withheld.NO_CHANGE: is_repeat and not stated.change.strip(),
        Withheld.TWO_FAILED: bool(unread) and not views,
    }
    return Gate(
        unread=unread,
        doubtful=doubtful,
        not_marked=not_marked,
        failed=failed,
        views=views,
        withheld=tuple(reason for reason, holds in reasons.items() if holds),
    )


def _failed(of: Ledger, unread: Sequence[LedgerRow]) -> dict[str, int]:
    """Films of each view on which a place that the view is for, and nothing shows, is unread."""
    names = {row.name for row in unread}
    counts = Counter(film.view.name for film in of.films if names & _asked_by(film.view, of))
    return dict(counts)


def _views(of: Ledger, unread: Sequence[LedgerRow], failed: dict[str, int]) -> tuple[View, ...]:
    """Views that ask for something unread; the upright one where the lying one failed twice."""
    names = {row.name for row in unread}
    found = []
    for lying in bitewing_views(of.sides):
        if not names & _asked_by(lying, of):
            continue
        upright = view(f"{lying.name}-vertical")
        tried = [each for each in (lying, upright) if failed.get(each.name, 0) < MOST_FAILED]
        found += tried[:1]
    return tuple(found)


def _asked_by(of_view: View, of: Ledger) -> set[str]:
    """What a view asks of the teeth of a visit."""
    return set(wanted(of_view, {int(row.name[:2]) for row in of.rows}, of.closed).names)


class FieldDose(NamedTuple):
    """Effective dose of one bitewing, least and most. [uSv]"""

    least_usv: float
    most_usv: float


class Doses(NamedTuple):
    """By the shape of the beam's field."""

    rectangular: FieldDose
    round: FieldDose


DOSES = figures_of(Doses, "bitewright.visit", "dose")


def bitewing_dose_usv(field: FieldShape) -> FieldDose:
    """Effective dose of one bitewing, as a range. [uSv]

    Source: Ludlow et al. 2008, and what stands in ``tables/dose.toml``.
    """
    return DOSES.round if field is FieldShape.ROUND else DOSES.rectangular


__all__ = ["MOST_FAILED", "Gate", "Stated", "Withheld", "bitewing_dose_usv", "gate"]

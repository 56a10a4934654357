"""Rates as people read them: the share, its interval, or that there are too few to tell."""

from dataclasses import replace

from bitewright.audit.proportions import FEWEST, Share
from bitewright.audit.rates import RateTable
from bitewright.words.log_titles import group_title
from bitewright.words.phrases import capital, counted


def percent(share: float) -> str:
    """A share as people read it."""
    return f"{100 * share:.1f}%"


def share_words(share: Share) -> str:
    """So many of so many, with the interval."""
    return (
        f"{share.count} of {share.total} ({percent(share.share)}, {100 * share.confidence:.0f}% "
        f"interval {interval_words(share)})"
    )


def interval_words(share: Share) -> str:
    """The interval alone: "5.0 to 14.2%"."""
    return f"{100 * share.low:.1f} to {percent(share.high)}"


def rate_words(share: Share) -> str:
    """A group's rate, or that the group is too small for one."""
    return percent(share.share) if share.total >= FEWEST else "too few"


def rates_title(table: RateTable) -> str:
    """The heading of a table of rates."""
    return f"{capital(table.event.value)} rate by {table.name}"


def titled_table(table: RateTable) -> RateTable:
    """A table of rates with titles for its groups, to be shown."""
    return replace(table, labels=tuple(group_title(table.name, label) for label in table.labels))


def undecided_words(count: int) -> str:
    """How many exposures no figure counts."""
    are = "is" if count == 1 else "are"
    return f"{counted(count, 'exposure')} {are} not decided on yet and counted in no figure."


__all__ = [
    "interval_words",
    "percent",
    "rate_words",
    "rates_title",
    "share_words",
    "titled_table",
    "undecided_words",
]

"""What the page of the audit says of the exposures it was asked for."""

from bitewright.audit.counted_by import Event
from bitewright.audit.proportions import FEWEST, Share
from bitewright.audit.rates import RateTable
from bitewright.audit.targets import TargetStanding
from bitewright.quality.rating_schemes import RatingScheme
from bitewright.words.phrases import capital, counted
from bitewright.words.rates import share_words
from bitewright.words.verdicts import TARGET_WORDS

CHANGE = "the change"
HAPPENED = {Event.REJECT: "were rejected", Event.RETAKE: "are themselves retakes"}


def nothing_yet() -> str:
    """That there is nothing to tell apart."""
    return (
        "No exposure that these filters take has been decided on: log some, or widen the filters."
    )


def rate_over_all(share: Share, event: Event) -> str:
    """The rate over all, or that there are too few to tell it."""
    if not share.enough:
        return (
            f"{share.count} of {share.total} {HAPPENED[event]}. With fewer than {FEWEST} "
            "exposures no rate can be told."
        )
    return f"{share_words(share)} {HAPPENED[event]}."


def targets_line(standing: TargetStanding, scheme: RatingScheme) -> str:
    """How the best grade stands against its target."""
    return (
        f"Grade {standing.grade}, target at least {standing.target:.0%} ({scheme.title}): "
        f"{TARGET_WORDS[standing.verdict]}, {share_words(standing.share)}."
    )


def too_few_line(table: RateTable) -> str:
    """How many groups are too small for a rate, and how many exposures are in none."""
    few = sum(not share.enough for share in table.shares)
    said = []
    if few:
        said.append(
            f"{capital(counted(few, 'group'))} with fewer than {FEWEST} exposures "
            f"{'is' if few == 1 else 'are'} too small for a rate."
        )
    if table.not_given:
        said.append(f"{capital(counted(table.not_given, 'exposure'))} without a {table.name}.")
    return " ".join(said)


def weeks_between(first: str | None, end: str | None) -> str:
    """The weeks from one on and before another; None where the record begins or ends."""
    if first is None:
        return f"Before the week of {end}"
    if end is None:
        return f"From the week of {first} on"
    return f"From the week of {first} on, before that of {end}"


def may_have_begun(first: str, last: str) -> str:
    """The weeks in one of which a change began, most likely."""
    if first == last:
        return f"The week in which it most likely began, that of {first}"
    return f"The weeks in which it may have begun, those of {first} to {last}"


def first_weeks(count: int) -> str:
    """The weeks a drift is measured from."""
    return f"The first {counted(count, 'week')} with films"


def drift_until_sure(began: str, sure: str) -> str:
    """The weeks from a drift's beginning until it was sure."""
    return f"From the week of {began} to that of {sure}, when it was sure"


__all__ = [
    "CHANGE",
    "drift_until_sure",
    "first_weeks",
    "may_have_begun",
    "nothing_yet",
    "rate_over_all",
    "targets_line",
    "too_few_line",
    "weeks_between",
]

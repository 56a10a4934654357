"""Checklists by fault, in a sentence."""

from bitewright.log.checklists import Checklist
from bitewright.words.phrases import counted

LOOK_AT = "look at, in this order"
CARDS_TITLE = "Checklists by fault"
CARDS_SAY = "What to look at, in this order, before the next exposure."
HERE_TITLE = "Look before you expose"
GENERAL_ONE = "General: frequent elsewhere, noted on no rejected film here"


def in_order(checklist: Checklist) -> str:
    """What to look at, numbered: "(1) the tube; (2) the rim"."""
    return "; ".join(f"({number}) {look}" for number, look in enumerate(checklist.looks, start=1))


def films_looked_at(films: int, rejected: int, first_day: str, last_day: str) -> str:
    """Which films a card at the chair is from."""
    if not films:
        return "No film is logged that this could be from."
    if not rejected:
        return f"From {counted(films, 'film')}, {first_day} to {last_day}, none of them rejected."
    return (
        f"Faults of rejected films, the most frequent first: from {counted(films, 'film')}, "
        f"{first_day} to {last_day}, {rejected} of them rejected."
    )


def few_faults(noted: int, fewest: int, *, general: bool) -> str:
    """That what is frequent cannot be told yet; ``general``: whether others' faults stand there."""
    having = "No rejected film has"
    if noted:
        having = f"Only {counted(noted, 'rejected film')} {'has' if noted == 1 else 'have'}"
    also = ", so what goes wrong with bitewings elsewhere stands here too" if general else ""
    return (
        f"{having} a fault noted; from fewer than {fewest} it cannot be told what is frequent "
        f"here{also}."
    )


def checklists_kept(count: int) -> str:
    """That so many checklists of one's own are used from now on."""
    return (
        f"Kept: {counted(count, 'checklist')} of your own, used in reports, on cards and in "
        "exercises from now on. `bitewright checklists drop` takes them back."
    )


def checklists_dropped(*, had_any: bool) -> str:
    """That those that come along are used again."""
    if had_any:
        return "Your own checklists are dropped. Those that come along hold again."
    return "There were no checklists of your own: nothing has changed."


__all__ = [
    "CARDS_SAY",
    "CARDS_TITLE",
    "GENERAL_ONE",
    "HERE_TITLE",
    "LOOK_AT",
    "checklists_dropped",
    "checklists_kept",
    "few_faults",
    "films_looked_at",
    "in_order",
]

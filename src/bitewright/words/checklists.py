"""Checklists by fault, in a sentence."""

from bitewright.log.checklists import Checklist
from bitewright.words.phrases import counted

LOOK_AT = "look at, in this order"
CARDS_TITLE = "Checklists by fault"
CARDS_SAY = "What to look at, in this order, before the next exposure."


def in_order(checklist: Checklist) -> str:
    """What to look at, numbered: "(1) the tube; (2) the rim"."""
    return "; ".join(f"({number}) {look}" for number, look in enumerate(checklist.looks, start=1))


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
    "LOOK_AT",
    "checklists_dropped",
    "checklists_kept",
    "in_order",
]

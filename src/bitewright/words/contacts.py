"""A contact's overlap, and how likely each of its states is."""

from bitewright.marking.rating_chances import StateChance
from bitewright.quality.findings import ContactFinding
from bitewright.quality.rating import ContactState

CHANCES = "open / readable / unreadable"
"""The order in which `chance_words` says them."""


def overlap_words(contact: ContactFinding) -> str:
    """Overlap with its deviation, in mm; a gap is said as space. None of a contact not shown."""
    if contact.overlap_mm is None or contact.state is ContactState.NOT_SHOWN:
        return ""
    spread = "" if contact.overlap_sd_mm is None else f" ± {contact.overlap_sd_mm:.2f}"
    if contact.overlap_mm < -0.005:
        return f"space {-contact.overlap_mm:.2f}{spread}"
    return f"{max(contact.overlap_mm, 0.0):.2f}{spread}"


def enamel_words(contact: ContactFinding) -> str:
    """How much of the thinner enamel an overlap hides; nothing of a contact not shown."""
    if contact.enamel_share is None or contact.state is ContactState.NOT_SHOWN:
        return ""
    return f"{max(contact.enamel_share, 0.0):.0%}"


def chance_words(chance: StateChance | None) -> str:
    """How likely each state is, given how sure the marks are; nothing where that is not known."""
    if chance is None:
        return ""
    return f"{chance.open:.0%} / {chance.readable:.0%} / {chance.unreadable:.0%}"


__all__ = ["CHANCES", "chance_words", "enamel_words", "overlap_words"]

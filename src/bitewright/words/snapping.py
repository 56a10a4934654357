"""Whether a mark that was put down snaps to a crown's border, and why not."""

from bitewright.marking.crown_edge import LEAST_TIMES_NOISE, SEARCH_MM

SNAP_RULE = (
    f"A contact mark put down or dragged within {SEARCH_MM:g} mm of its crown's outer border snaps "
    f"to it, along the row of teeth, where the border is sure: sharp, {LEAST_TIMES_NOISE:g} times "
    "the noise, and twice any other edge nearby. Other marks stay where they are put."
)
STAYS = f"No border is sure within {SEARCH_MM:g} mm: the mark stays where it is."
NO_CONTACT = "Only contact marks snap: the other marks have no border that films show for sure."


def snapped_words(shift_mm: float) -> str:
    """How far a mark snapped, to either side."""
    return f"Snapped to the crown's outer border, {abs(shift_mm):.2f} mm along the row."


__all__ = ["NO_CONTACT", "SNAP_RULE", "STAYS", "snapped_words"]

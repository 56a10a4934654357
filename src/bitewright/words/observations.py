"""What a person saw on a film that is no landmark."""

from bitewright.equipment.entries import readable_name
from bitewright.marking.marks import FilmRemark


def remark_words(remark: FilmRemark) -> str:
    """What the marker saw, with the note on it."""
    note = f" {remark.note}" if remark.note else ""
    return f"Seen by the marker: {readable_name(remark.name)}.{note}"


__all__ = ["remark_words"]

"""What a mouth is: one that can be named, other than those whose table says it, or any."""

from bitewright.words.phrases import counted

STANDARD = "every permanent tooth but third molars, sizes of the published table"
DRAWN = "drawn by its number, as people differ; any other number too"
OWN = "your own"


def mouth_words(teeth: int, age_years: float) -> str:
    """How many teeth a mouth has, and how old it is."""
    return f"{counted(teeth, 'tooth', 'teeth')} present, {age_years:g} years."


def open_words(azimuth_deg: float) -> str:
    """Where the tube stands when a contact is open. [deg]"""
    return f"{azimuth_deg:.1f} degrees in front of straight across"


__all__ = ["DRAWN", "OWN", "STANDARD", "mouth_words", "open_words"]

"""What a mouth is: one that can be named, other than those whose table says it, or any."""

from bitewright.words.phrases import counted

STANDARD = "every permanent tooth but third molars, in the middle of a population of real crowns"
TEXTBOOK = "every permanent tooth but third molars, sizes of the published table"
DRAWN = "drawn by its number about the textbook's, more alike than people; any other number too"
POPULATION = "drawn by its number from a population of real crowns, no person; any other number too"
CALM = "as those of the population, teeth standing more in line; any other number too"
OWN = "your own"


def mouth_words(teeth: int, age_years: float) -> str:
    """How many teeth a mouth has, and how old it is."""
    return f"{counted(teeth, 'tooth', 'teeth')} present, {age_years:g} years."


def open_words(azimuth_deg: float) -> str:
    """Where the tube stands when a contact is open. [deg]"""
    return f"{azimuth_deg:.1f} degrees in front of straight across"


__all__ = [
    "CALM",
    "DRAWN",
    "OWN",
    "POPULATION",
    "STANDARD",
    "TEXTBOOK",
    "mouth_words",
    "open_words",
]

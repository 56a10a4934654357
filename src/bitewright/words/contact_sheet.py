"""What a contact sheet of simulated films shows, row by row and at its foot."""

from bitewright.equipment.entries import readable_name
from bitewright.words.phrases import counted

MOUTHS = "Mouths drawn by seed"
KINDS = "Film, plate and sensor, under, right and over exposed"
LOOKS = "Displays"
FAULTS = "Faults of receptor and handling"
LESIONS = "Caries by depth, calculus"
FILLINGS = "Fillings, crown, root filling"
FAULT_CAPTIONS = {
    "cone-cut-round": "cone cut, round beam",
    "cone-cut-rectangular": "cone cut, rectangular beam",
    "under-exposure": "underexposure",
    "over-exposure": "overexposure",
}
"""Faults whose readable names are not the trade's."""


def film_fault_title(name: str) -> str:
    """What is shown of a film fault's name."""
    return FAULT_CAPTIONS.get(name, readable_name(name))


def sheet_foot(films: int, surfaces: int) -> str:
    """That nobody was exposed, and what was checked of every film."""
    return (
        f"SIMULATED: {counted(films, 'film')} of modelled mouths, nobody was exposed. "
        f"{counted(surfaces, 'surface')} closed and wound outward; in every film each ray leaves "
        "as often as it enters."
    )


def sheet_note(films: int) -> str:
    """The note in the picture's file."""
    return f"SIMULATED contact sheet of {counted(films, 'film')}"


def sheet_written(path: object, films: int, surfaces: int) -> str:
    """Where the sheet was written, and what was checked."""
    return (
        f"{counted(films, 'film')} written to {path} (SIMULATED); "
        f"{counted(surfaces, 'surface')} closed and wound outward, signs balanced in every film."
    )


__all__ = [
    "FAULTS",
    "FILLINGS",
    "KINDS",
    "LESIONS",
    "LOOKS",
    "MOUTHS",
    "film_fault_title",
    "sheet_foot",
    "sheet_note",
    "sheet_written",
]

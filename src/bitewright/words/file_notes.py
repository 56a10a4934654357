"""What a file that is written says of itself: the note in a picture, the heading of a TOML file."""

OWN_EQUIPMENT = "Equipment of one's own for Bitewright. Lengths in mm; see the docs."
CHECKLISTS = (
    "Checklists by fault for Bitewright: change `looks` and `source`, leave out what stays "
    "as it is,\nthen `bitewright checklists keep FILE`. No names of people; see docs/checklists.md."
)
RECORD_SETTINGS = (
    "Settings of one record of Bitewright: how often to audit, targets by year, measured outputs,\n"
    "reference levels. Days in quotation marks; no names of people; see docs/audit-calendar.md."
)
THE_SETTINGS = "The settings of the record"
MOUTH = "A mouth for Bitewright. Lengths in mm, angles in degrees; see the docs."

TRUE_MARKS = "Where the landmarks of a simulated film truly are; nobody marked them."
TRUE_MARKS_TITLE = "True marks"


def import_mapping(table: str) -> str:
    """The heading of a mapping for a table of exposures."""
    return f"How `bitewright log import` reads {table}."


def simulated_film(said: str) -> str:
    """The note in a simulated film, with what made it."""
    return f"SIMULATED by Bitewright: {said}"


__all__ = [
    "CHECKLISTS",
    "MOUTH",
    "OWN_EQUIPMENT",
    "RECORD_SETTINGS",
    "THE_SETTINGS",
    "TRUE_MARKS",
    "TRUE_MARKS_TITLE",
    "import_mapping",
    "simulated_film",
]

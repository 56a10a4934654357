"""A tip sheet for the wall, of a real film: its headings and what it says of consent."""

from bitewright.log.faults import fault_kinds
from bitewright.words.phrases import capital

BEFORE, AFTER, MOVE, DRAWN = "The film", "The next film", "The move", "Drawn"
NO_MOVE = "The marks do not tell what to move."


def tip_title(fault: str) -> str:
    """Heading: the fault by the teacher's own reading."""
    return capital(fault_kinds()[fault].title)


def reading_line(fault: str, by: str) -> str:
    """Whose reading of the film it is."""
    return f"Read by {by}: {fault_kinds()[fault].title}. {capital(fault_kinds()[fault].says)}."


def consent_line(by: str, day: str) -> str:
    """By whom and when consent to show the film was noted, and that nobody is named in it."""
    return (
        f"Consent to show this film noted by {by} on {day}. {by} looked for names and numbers "
        "drawn into it and saw none."
    )


def film_alt(place: str) -> str:
    """What a film's picture is, for who cannot see it."""
    return f"{place}: an intraoral radiograph."


__all__ = [
    "AFTER",
    "BEFORE",
    "DRAWN",
    "MOVE",
    "NO_MOVE",
    "consent_line",
    "film_alt",
    "reading_line",
    "tip_title",
]

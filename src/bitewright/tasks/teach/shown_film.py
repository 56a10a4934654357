"""A real film before it is shown to others: looked at, and what in it may say whose it is."""

from bitewright.log.faults import fault_kinds
from bitewright.report.film_png import film_png
from bitewright.tasks.assess.decoded_film import DecodedFilm
from bitewright.tasks.assess.identity_signs import identity_signs
from bitewright.words.phrases import capital

LOOKED_AT_PX = 1400
"""Films are shown so wide, to look for names in. Our choice. [px]"""


def shown_film(film: DecodedFilm) -> bytes:
    """The film as PNG."""
    return film_png(film.image, most_px=LOOKED_AT_PX)


def shown_signs(film: DecodedFilm) -> tuple[str, ...]:
    """What in it may say whose it is, a sentence each."""
    return tuple(f"{capital(each)}." for each in identity_signs(film))


def log_fault_choices() -> dict[str, str]:
    """Faults as logged, by name, to read a film by."""
    return {name: capital(each.title) for name, each in fault_kinds().items()}


__all__ = ["log_fault_choices", "shown_film", "shown_signs"]

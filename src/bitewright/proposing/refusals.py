"""Films on which nothing is proposed, and what is doubtful about a whole film."""

from enum import StrEnum

from bitewright.proposing.heat_maps import HeatReading
from bitewright.proposing.several_films import is_not_one_film
from bitewright.proposing.square import SMALLEST_MM, FilmOnSquare

EMPTY = 0.008
"""A picture whose grey varies by less is empty. Our choice."""

LIKELY = 0.5
"""Our choice."""

FEWEST_CONTACTS = 2
"""A film with fewer contacts shown is not marked. Our choice."""


class Refusal(StrEnum):
    """Why nothing is proposed."""

    EMPTY = "empty"
    TOO_SMALL = "too-small"
    NOT_ONE_FILM = "not-one-film"
    NO_BITEWING = "no-bitewing"
    NOT_UPRIGHT = "not-upright"
    FEW_CONTACTS = "few-contacts"
    OTHER_SIDE = "other-side"


class FilmDoubt(StrEnum):
    """What is doubtful about all marks of a film."""

    PIXEL_SIZE = "pixel-size"
    SCALE = "scale"
    NEGATIVE = "negative"
    NUMBERING = "numbering"
    ONE_ARCH = "one-arch"
    UNEXPLAINED = "unexplained"


def why_refused(film: FilmOnSquare, read: HeatReading) -> Refusal | None:
    """Why nothing is proposed on a film, by its picture and what the network says of it."""
    height_mm, width_mm = film.size_mm
    if min(height_mm, width_mm) < SMALLEST_MM:
        return Refusal.TOO_SMALL
    if film.contrast < EMPTY:
        return Refusal.EMPTY
    if is_not_one_film(film):
        return Refusal.NOT_ONE_FILM
    if read.bitewing < LIKELY:
        return Refusal.NO_BITEWING
    return Refusal.NOT_UPRIGHT if read.not_upright > LIKELY else None


__all__ = ["FEWEST_CONTACTS", "FilmDoubt", "Refusal", "why_refused"]

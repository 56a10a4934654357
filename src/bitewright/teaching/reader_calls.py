"""What an answer to an exercise says, so that readers of the same films can be compared."""

from dataclasses import dataclass
from enum import StrEnum


class ReadCriterion(StrEnum):
    """What is read or decided; kappa is worked out for each alone."""

    OVERLAP = "overlap"
    SURFACE = "surface"
    FRONT = "front"
    FAULT = "fault"
    FURTHER_FILM = "further-film"


@dataclass(frozen=True, slots=True, kw_only=True)
class ReaderCall:
    """What was said of one film.

    Parameters
    ----------
    criterion : ReadCriterion
    said : str
        The choice.
    leans : bool or None
        Whether it says what a reader may say too often: that crowns overlap, that the front is on
        the left, that it was the tube, that a further film is needed. None where there is no such.
    """

    criterion: ReadCriterion
    said: str
    leans: bool | None


__all__ = ["ReadCriterion", "ReaderCall"]

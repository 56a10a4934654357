"""A question to a record, with its answer and what follows from it."""

from dataclasses import dataclass
from enum import StrEnum


class Found(StrEnum):
    """How an answer came out."""

    ALARM = "alarm"
    YES = "found"
    NO = "not found"
    MET = "met"
    MISSED = "missed"
    TOO_FEW = "too few to tell"
    NOTED = "noted"


FOUND_SIGNS = {
    Found.ALARM: "!!",
    Found.YES: "!",
    Found.MISSED: "!",
    Found.NO: "=",
    Found.MET: "=",
    Found.TOO_FEW: "?",
    Found.NOTED: "-",
}
"""A sign for each, so that colour alone carries nothing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """One question with its answer.

    ``actions`` is what follows from it, if anything does; ``cannot_tell`` what it can't tell from
    what, or how it may mislead.
    """

    topic: str
    question: str
    found: Found
    sentence: str
    actions: tuple[str, ...] = ()
    cannot_tell: str = ""

    @property
    def whole(self) -> str:
        """The answer with what it cannot tell."""
        return f"{self.sentence} {self.cannot_tell}".strip()


__all__ = ["FOUND_SIGNS", "Answer", "Found"]

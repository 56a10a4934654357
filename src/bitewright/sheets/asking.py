"""A question about a sheet: what may be asked, what answers there are, what hangs on them."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from bitewright.errors import BitewrightError, quoted
from bitewright.sheets.asked_words import AskedWord
from bitewright.sheets.understanding import Understanding


class Ask(StrEnum):
    """What may be asked."""

    DAY_COLUMN = "day-column"
    VIEW_COLUMN = "view-column"
    OUTCOME_COLUMN = "outcome-column"
    DATE = "date"
    COLUMNS = "columns"
    DECISIONS = "decisions"
    SCHEME = "scheme"
    SEVERAL = "several"
    VIEW_WORDS = "view-words"
    DECISION_WORDS = "decision-words"
    RETAKE = "retake"
    VIEW = "view"
    YEAR = "year"
    OPERATOR = "operator"
    PEOPLE = "people"
    FAULT_WORDS = "fault-words"
    DECIDED_BY = "decided-by"
    BITEWINGS = "bitewings"


class AnswerError(BitewrightError):
    """An answer is none that a question takes."""

    def __init__(self, asked: str, given: str, allowed: str) -> None:
        self.asked = asked
        super().__init__(
            f"{quoted(given)} does not answer the question {quoted(asked)}: give {allowed}."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetQuestion:
    """Something that only a person can say.

    Parameters
    ----------
    ask : Ask
    answers : tuple of str
        Those there are, or the likeliest where others are taken too.
    proposed : str or None
        None where nothing speaks for any.
    given : str or None
        What was answered.
    about : tuple of str
        Headings or words that it is about.
    words : tuple of AskedWord
        Those whose meaning is asked.
    columns : tuple of str
        Headings that are answers.
    stake : float
        Exposures that hang on the answer: those it is about, times how likely it is that they
        would come in wrong without it.
    rows : float
        Exposures that it is about.
    is_between : bool
        Whether several columns tell the same, and one counts.
    """

    ask: Ask
    answers: tuple[str, ...]
    proposed: str | None
    given: str | None
    about: tuple[str, ...] = ()
    words: tuple[AskedWord, ...] = ()
    columns: tuple[str, ...] = ()
    stake: float = 0.0
    rows: float = 0.0
    is_between: bool = False


def question(
    sheet: Understanding,
    ask: Ask,
    answers: Sequence[str],
    proposed: str | None,
    about: Sequence[str] = (),
    *,
    rows: float,
    doubt: float = 0.5,
    columns: Sequence[str] = (),
) -> SheetQuestion:
    """One question of a sheet: ``rows`` exposures hang on it, with a ``doubt`` from 0 to 1.5."""
    return SheetQuestion(
        columns=tuple(columns),
        stake=rows * doubt,
        rows=rows,
        ask=ask,
        answers=tuple(answers),
        proposed=proposed,
        given=sheet.given.answers.get(ask.value),
        about=tuple(about),
    )


__all__ = ["AnswerError", "Ask", "SheetQuestion", "question"]

"""Whether a film serves its question, as an answer's headline has it."""

from enum import StrEnum


class AnswerVerdict(StrEnum):
    """Whether a film serves its question."""

    YES = "yes"
    READABLE = "readable"
    """Nothing fails, yet crowns overlap."""
    DOUBTFUL = "doubtful"
    """The marks leave a chance of more than one in ten that it does, and that it does not."""
    NO = "no"
    NOT_TOLD = "not-told"
    BY_EYE = "by-eye"
    """A fault was seen that marks do not measure: a person decides."""


HEADLINES = {
    AnswerVerdict.YES: "Serves its question",
    AnswerVerdict.READABLE: "Can be read, with overlap",
    AnswerVerdict.DOUBTFUL: "Doubtful whether it serves",
    AnswerVerdict.NO: "Does not serve its question",
    AnswerVerdict.NOT_TOLD: "Not told yet",
    AnswerVerdict.BY_EYE: "Look whether it can be read",
}
SIGNS = {
    AnswerVerdict.YES: "=",
    AnswerVerdict.READABLE: "~",
    AnswerVerdict.DOUBTFUL: "?",
    AnswerVerdict.NO: "x",
    AnswerVerdict.NOT_TOLD: "?",
    AnswerVerdict.BY_EYE: "?",
}
"""A sign for each, so that colour alone carries nothing."""

PERHAPS_OVERLAP = "Can be read, perhaps with overlap"

__all__ = ["HEADLINES", "PERHAPS_OVERLAP", "SIGNS", "AnswerVerdict"]

"""What a report holds, before it becomes a PDF or a web page."""

from dataclasses import dataclass

from bitewright.report.figure import Figure
from bitewright.words.alarm import Alarm
from bitewright.words.audit_method import Heading


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerLine:
    """A question and its answer; ``sign`` and ``found`` say in a mark and in a word how it is."""

    sign: str
    found: str
    question: str
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FrontRow:
    """A line of the first page: ``what`` it tells of, and what it ``says``."""

    what: str
    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ReportPage:
    """A whole report.

    ``alarm``: what stands above all else, if anything. ``front``: the first page. ``is_signed``:
    whether somebody fills in who does what by when, and signs. ``about``: what record it is of.
    ``actions``: what follows. ``methods``: how it was worked out. ``caution``: what it may be used
    for. ``made``: program, version and date.
    """

    title: str
    about: str
    front: tuple[FrontRow, ...]
    is_signed: bool
    answers: tuple[AnswerLine, ...]
    actions: tuple[str, ...]
    figures: tuple[Figure, ...]
    methods: tuple[Heading, ...]
    caution: str
    made: str
    alarm: Alarm | None = None


def cell_words(cell: str | float | None) -> str:
    """A cell of a table as people read it."""
    if cell is None:
        return ""
    if isinstance(cell, float):
        return "" if cell != cell else f"{cell:.3g}"  # noqa: PLR0124 - NaN differs from itself
    return str(cell)


__all__ = ["AnswerLine", "FrontRow", "ReportPage", "cell_words"]

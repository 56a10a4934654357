"""How far readers of the same exercises agree, and with the truth, in words."""

from collections.abc import Sequence

from bitewright.audit.agreement import Kappa
from bitewright.audit.paired_difference import PairedDifference
from bitewright.teaching.item import ItemKind
from bitewright.teaching.reader_calls import ReadCriterion, ReaderCall
from bitewright.words.agreement import kappa_figures, kappa_words
from bitewright.words.exercises import AT_NONE
from bitewright.words.phrases import counted

TRUTH = "the truth"
TITLES = {
    ReadCriterion.OVERLAP: "Which contact overlaps",
    ReadCriterion.SURFACE: "Which surface it is",
    ReadCriterion.FRONT: "Which end is the front",
    ReadCriterion.FAULT: "What went wrong",
    ReadCriterion.FURTHER_FILM: "Whether another exposure could be justified",
}
LEANINGS = {
    ReadCriterion.OVERLAP: "that crowns overlap",
    ReadCriterion.FRONT: "that the front is on the left",
    ReadCriterion.FAULT: "that it was the tube",
    ReadCriterion.FURTHER_FILM: "that something is left unread",
}
HEADINGS = ("who", "exercises", "alike", "kappa", "in words")
DIFFER_TITLE = "Exercises that readers differ on, or one reader with themselves"
DIFFER_HEADINGS = ("exercise", "truth", "said")
NOBODY_DIFFERS = "Nobody differs on any exercise."
READERS_TITLE = "How far readers agree"
AGAIN_SAYS = (
    "Readers are told apart by the code that they give with their answers, and what is answered "
    "without one does not count. The same set begun again, on the page Teach, is everybody's "
    "second reading. Here the answer is told after "
    "each commit, so a second reading shows what was remembered too; a set in files, as the "
    "command teach set writes it, tells nothing between readings, and teach readers compares those."
)
NO_READERS = "Nobody has answered this set under a code yet."
READERS_SAY = (
    "Intervals are of 95%. Kappa is agreement beyond chance; it falls when nearly all answers are "
    "the same. Agreement is not correctness: read it beside the truth. Where two answers are "
    "right, whoever gave either agrees with the truth. Exercises answered by a movement or by an "
    "order are not compared."
)


def call_of(kind: ItemKind, choices: Sequence[str], chosen: int) -> ReaderCall | None:
    """What an answer says; None for a kind that is answered otherwise."""
    said = choices[chosen]
    if kind is ItemKind.NAME:
        is_tube = said.startswith("the tube")
        return ReaderCall(criterion=ReadCriterion.FAULT, said=said, leans=is_tube)
    if kind is ItemKind.DECIDE:
        is_needed = not said.startswith("none:")
        return ReaderCall(criterion=ReadCriterion.FURTHER_FILM, said=said, leans=is_needed)
    if kind is not ItemKind.READ:
        return None
    if AT_NONE in choices:
        return ReaderCall(criterion=ReadCriterion.OVERLAP, said=said, leans=said != AT_NONE)
    if said.endswith(" end"):
        is_left = said == "the left end"
        return ReaderCall(criterion=ReadCriterion.FRONT, said=said, leans=is_left)
    return ReaderCall(criterion=ReadCriterion.SURFACE, said=said, leans=None)


def kappa_cell(kappa: Kappa | None) -> str:
    """A kappa with its interval, or nothing."""
    return "" if kappa is None else kappa_figures(kappa)


def named_or_missing(kappa: Kappa | None, *, missing: int, more: int | None, is_same: bool) -> str:
    """How a kappa is called, or what is missing for one."""
    if missing:
        return f"too few: {counted(missing, 'more exercise')} needed"
    if kappa is None:
        return "all answers the same: no kappa" if is_same else "no kappa"
    called = kappa_words(kappa)
    if more:
        return f"{called}; about {counted(more, 'more exercise')} for an interval of 0.2 each way"
    return called


def twice_words(reader: str) -> str:
    """One reader's two readings."""
    return f"{reader}, first and second reading"


def both_words(one: str, other: str) -> str:
    """Two readers, or one and the truth."""
    return f"{one} and {other}"


def leaning_words(one: str, other: str, criterion: ReadCriterion, told: PairedDifference) -> str:
    """Who says something more often, and whether that is more than chance makes."""
    total, what = told.first.total, LEANINGS[criterion]
    points = round(100 * abs(told.difference))
    low, high = sorted((round(100 * told.low), round(100 * told.high)))
    if told.difference < 0.0:
        low, high = -high, -low
    way = "as often" if not points else "more often" if told.difference > 0.0 else "less often"
    beyond = "more than chance makes" if told.settled else "no more than chance makes"
    against = (
        f"where it is so on {told.second.count}"
        if other == TRUTH
        else f"{other} on {told.second.count}"
    )
    size = f": {points} points {way} ({low} to {high}), {beyond}" if points else ": as often"
    return f"{one} said on {told.first.count} of {total} {what}, {against}{size}."


def readings_words(readings: Sequence[tuple[str, int]]) -> str:
    """Who read how often."""
    return ", ".join(f"{code} {TIMES.get(times, f'{times} times')}" for code, times in readings)


TIMES = {1: "once", 2: "twice"}


def lacking_words(readers: int, twice: int) -> str:
    """What readings are missing for what cannot be told; empty if none is."""
    said = []
    if readers < 2:
        missing = "one more reader" if readers else "two readers"
        said.append(f"Between readers nothing can be told: give the answers of {missing}.")
    if not twice:
        said.append(
            "How steady a reader is cannot be told: give a second reading of one reader's, under "
            "the same code."
        )
    return " ".join(said)


def together_cell(readers: int) -> str:
    """All readers at once."""
    return f"all {readers} readers (Fleiss)"


def not_paired_words(most: int) -> str:
    """That pairs are left out."""
    return f"With more than {most} readers pairs are not told one by one."


__all__ = [
    "AGAIN_SAYS",
    "DIFFER_HEADINGS",
    "DIFFER_TITLE",
    "HEADINGS",
    "LEANINGS",
    "NOBODY_DIFFERS",
    "NO_READERS",
    "READERS_SAY",
    "READERS_TITLE",
    "TITLES",
    "TRUTH",
    "both_words",
    "call_of",
    "kappa_cell",
    "lacking_words",
    "leaning_words",
    "named_or_missing",
    "not_paired_words",
    "readings_words",
    "together_cell",
    "twice_words",
]

"""How far readers of one set agree: with themselves, with each other, with the truth."""

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from itertools import combinations
from math import ceil
from pathlib import Path
from typing import Any

import numpy as np

from bitewright.audit.agreement import (
    Kappa,
    cohen,
    fleiss,
    two_way,
)
from bitewright.audit.paired_difference import paired_difference
from bitewright.audit.proportions import share_of
from bitewright.errors import BitewrightError
from bitewright.files.exercise_files import read_answers, read_key, read_set_page
from bitewright.tasks.audit.compare_raters import kappa_document
from bitewright.tasks.teach.set_files import UnknownItemError
from bitewright.teaching.item import ItemAnswerError, ItemKind
from bitewright.teaching.reader_calls import ReadCriterion, ReaderCall
from bitewright.words.agreement import alike_words
from bitewright.words.readers import (
    LEANINGS,
    TRUTH,
    both_words,
    call_of,
    kappa_cell,
    lacking_words,
    leaning_words,
    named_or_missing,
    not_paired_words,
    together_cell,
    twice_words,
)

FEWEST_READ = 10
"""Exercises of a criterion that both must have read before a kappa is told. Our choice."""

MOST_PAIRED = 6
"""Readers beyond which pairs are not told one by one. Our choice."""

EACH_WAY = 0.2
"""Half of an interval of kappa that is narrow enough to act on. Our choice."""


class NoCodeError(BitewrightError):
    """Answers that are to be compared say not whose they are."""

    def __init__(self, path: Path) -> None:
        self.path = path
        super().__init__(
            f"The answers in {path} have no code, so it cannot be told whose they are: have the "
            "reader give a code on the page, and save them again."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadItem:
    """An exercise as it is compared: its number, kind, question, choices and right choices."""

    id: str
    number: int
    kind: ItemKind
    question: str
    choices: tuple[str, ...]
    key: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ReaderAnswers:
    """One reader's answers to a set, once: which choice, counted from 0, by exercise."""

    reader: str
    chosen: Mapping[str, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class AgreementRow:
    """Two readings, or all readers: how many exercises, and how far they agree.

    ``kappa`` None where none can be told; ``missing``: exercises missing until one is; ``more``:
    about how many would make its interval narrow.
    """

    who: str
    items: int
    alike: str
    kappa: Kappa | None
    missing: int
    more: int | None
    says: str

    @property
    def cells(self) -> tuple[str, ...]:
        """As a row of a table."""
        return self.who, str(self.items), self.alike, kappa_cell(self.kappa), self.says


@dataclass(frozen=True, slots=True, kw_only=True)
class CriterionAgreement:
    """One criterion: rows of agreement, and who says what more often."""

    criterion: ReadCriterion
    rows: tuple[AgreementRow, ...]
    leanings: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DifferingItem:
    """An exercise that not all answered alike: what is right, and what each said."""

    number: int
    question: str
    right: tuple[str, ...]
    said: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadersCompared:
    """What readers of one set agree on.

    ``readings``: each reader's code with how often they read it. ``lacking``: what more is needed.
    """

    readings: tuple[tuple[str, int], ...]
    criteria: tuple[CriterionAgreement, ...]
    differing: tuple[DifferingItem, ...]
    lacking: tuple[str, ...]

    def document(self) -> dict[str, Any]:
        """As data for machines."""
        told = asdict(self)
        for criterion, of in zip(told["criteria"], self.criteria, strict=True):
            for row, each in zip(criterion["rows"], of.rows, strict=True):
                row["kappa"] = None if each.kappa is None else kappa_document(each.kappa)
        return {"format": "bitewright.readers/1", **told}


def compare_reader_files(page: Path, answers: Sequence[Path], key: Path) -> ReadersCompared:
    """Compare the answers in files; two of one code are a first and a second reading, in order.

    Raises
    ------
    NoCodeError, UnknownItemError, ItemAnswerError, OtherSetError
    """
    given = read_set_page(page)
    known = read_key(key, of_set=given["set"])
    questions = {each["id"]: each["question"] for each in given["items"]}
    items = [
        ReadItem(
            id=each["id"],
            number=number,
            kind=ItemKind(each["kind"]),
            question=questions[each["id"]],
            choices=tuple(each["choices"]),
            key=tuple(each["key"]),
        )
        for number, each in enumerate(known["items"], start=1)
    ]
    readings = []
    for path in answers:
        told = read_answers(path, of_set=given["set"])
        if not told.get("student"):
            raise NoCodeError(path)
        unknown = {each["id"] for each in told["answers"]} - set(questions)
        if unknown:
            raise UnknownItemError(path, min(unknown))
        chosen = {each["id"]: each["chosen"] for each in told["answers"] if "chosen" in each}
        readings.append(ReaderAnswers(reader=told["student"], chosen=chosen))
    return compare_readers(items, readings)


def compare_readers(
    items: Sequence[ReadItem], readings: Sequence[ReaderAnswers]
) -> ReadersCompared:
    """How far readings agree, criterion by criterion.

    Raises
    ------
    ItemAnswerError
        If there is no such choice.
    """
    by_reader: dict[str, list[ReaderAnswers]] = {}
    for each in readings:
        by_reader.setdefault(each.reader, []).append(each)
    calls = {
        reader: [_calls(items, each) for each in own] for reader, own in sorted(by_reader.items())
    }
    twice = sum(len(own) > 1 for own in calls.values())
    lacking = lacking_words(len(calls), twice)
    is_many = len(calls) > MOST_PAIRED
    return ReadersCompared(
        readings=tuple((reader, len(own)) for reader, own in calls.items()),
        criteria=tuple(
            told
            for criterion in ReadCriterion
            if (told := _criterion(criterion, items, calls)) is not None
        ),
        differing=tuple(_differing(items, calls)),
        lacking=(
            *((lacking,) if lacking else ()),
            *((not_paired_words(MOST_PAIRED),) if is_many else ()),
        ),
    )


Calls = dict[str, ReaderCall]


def _calls(items: Sequence[ReadItem], reading: ReaderAnswers) -> Calls:
    found: Calls = {}
    for item in items:
        chosen = reading.chosen.get(item.id)
        if chosen is None or not item.choices:
            continue
        if not 0 <= chosen < len(item.choices):
            raise ItemAnswerError(chosen, f"a choice from 0 to {len(item.choices) - 1}")
        call = call_of(item.kind, item.choices, chosen)
        if call is not None:
            found[item.id] = call
    return found


def _truth(items: Sequence[ReadItem], beside: Calls) -> Calls:
    """What is right; of several right choices the one that was said, if it is among them."""
    found: Calls = {}
    for item in items:
        if item.id not in beside or not item.key:
            continue
        right = [call_of(item.kind, item.choices, k) for k in item.key]
        said = beside[item.id].said
        call = next((each for each in right if each and each.said == said), right[0])
        if call is not None:
            found[item.id] = call
    return found


def _criterion(
    criterion: ReadCriterion, items: Sequence[ReadItem], calls: Mapping[str, list[Calls]]
) -> CriterionAgreement | None:
    of = {
        reader: [
            {item: call for item, call in each.items() if call.criterion is criterion}
            for each in own
        ]
        for reader, own in calls.items()
    }
    of = {reader: own for reader, own in of.items() if any(own)}
    if not of:
        return None
    compared = [
        (twice_words(reader), reader, reader, own[0], own[1])
        for reader, own in of.items()
        if len(own) > 1
    ]
    pairs = [] if len(of) > MOST_PAIRED else list(combinations(of, 2))
    compared += [(both_words(a, b), a, b, of[a][0], of[b][0]) for a, b in pairs]
    compared += [
        (both_words(reader, TRUTH), reader, TRUTH, own[0], _truth(items, own[0]))
        for reader, own in of.items()
    ]
    rows = [_row(who, one, other) for who, _, _, one, other in compared]
    if len(of) > 2:
        rows.append(_together([own[0] for own in of.values()]))
    return CriterionAgreement(
        criterion=criterion,
        rows=tuple(rows),
        leanings=tuple(
            said
            for _, a, b, one, other in compared
            if a != b and criterion in LEANINGS and (said := _leaning(a, b, criterion, one, other))
        ),
    )


def _row(who: str, one: Calls, other: Calls) -> AgreementRow:
    both = [item for item in one if item in other]
    first, second = [one[k].said for k in both], [other[k].said for k in both]
    grades = sorted({*first, *second})
    kappa, is_same = None, len(grades) < 2
    if len(both) >= FEWEST_READ and not is_same:
        kappa = cohen(two_way(first, second, grades))
    alike = ""
    if both:
        same = sum(a == b for a, b in zip(first, second, strict=True))
        alike = alike_words(share_of(same, len(both)))
    return _told(who, len(both), alike, kappa, is_same=is_same)


def _together(first: Sequence[Calls]) -> AgreementRow:
    """All readers at once, on the exercises that all of them read."""
    shared = [item for item in first[0] if all(item in each for each in first)]
    grades = sorted({each[item].said for each in first for item in shared})
    kappa = None
    if len(shared) >= FEWEST_READ and len(grades) > 1:
        counts = [
            [sum(each[item].said == grade for each in first) for grade in grades] for item in shared
        ]
        kappa = fleiss(np.array(counts))
    who = together_cell(len(first))
    return _told(who, len(shared), "", kappa, is_same=len(grades) < 2)


def _told(who: str, items: int, alike: str, kappa: Kappa | None, *, is_same: bool) -> AgreementRow:
    missing, more = max(FEWEST_READ - items, 0), None
    if kappa is not None:
        half = (kappa.high - kappa.low) / 2
        needed = ceil(items * (half / EACH_WAY) ** 2) - items
        more = needed if needed > 0 else None
    return AgreementRow(
        who=who,
        items=items,
        alike=alike,
        kappa=kappa,
        missing=missing,
        more=more,
        says=named_or_missing(kappa, missing=missing, more=more, is_same=is_same),
    )


def _leaning(a: str, b: str, criterion: ReadCriterion, one: Calls, other: Calls) -> str:
    both = [item for item in one if item in other]
    if len(both) < FEWEST_READ:
        return ""
    told = paired_difference(
        [bool(one[k].leans) for k in both], [bool(other[k].leans) for k in both]
    )
    return leaning_words(a, b, criterion, told)


def _differing(items: Sequence[ReadItem], calls: Mapping[str, list[Calls]]) -> list[DifferingItem]:
    out = []
    for item in items:
        said = [
            (reader if len(own) < 2 else f"{reader} ({number})", each[item.id].said)
            for reader, own in calls.items()
            for number, each in enumerate(own, start=1)
            if item.id in each
        ]
        if len({words for _, words in said}) > 1:
            right = tuple(item.choices[k] for k in item.key)
            out.append(
                DifferingItem(
                    number=item.number, question=item.question, right=right, said=tuple(said)
                )
            )
    return out


__all__ = [
    "AgreementRow",
    "CriterionAgreement",
    "DifferingItem",
    "NoCodeError",
    "ReadItem",
    "ReaderAnswers",
    "ReadersCompared",
    "compare_reader_files",
    "compare_readers",
]

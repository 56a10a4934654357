"""Propose what a sheet's columns and words mean, and preview the rows it would bring."""

import hashlib
import json
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from bitewright.errors import BitewrightError, quoted
from bitewright.files.workbooks import read_workbook
from bitewright.log.exposure_state import State, completed
from bitewright.log.fields import from_text
from bitewright.sheets.asked_words import ASKED_FIELDS, asked_words
from bitewright.sheets.cells import Workbook, cell_text, plain, word_of
from bitewright.sheets.lost_rows import with_lost_rows
from bitewright.sheets.pseudonyms import Pseudonyms
from bitewright.sheets.questions import SheetQuestion, questions_of
from bitewright.sheets.read_rows import RowFault, RowRead
from bitewright.sheets.retakes_in_doubt import with_doubtful_retake
from bitewright.sheets.row_reading import rows_read
from bitewright.sheets.understanding import Given, Understanding, understood
from bitewright.tasks.log.sheet_mapping import both_given, given_answers, read_sheet_mapping
from bitewright.tasks.log.store_place import today_number
from bitewright.words.sheets import cell_fault_words, preview_words, rows_lost_words

SUGGESTED_FORMAT = "bitewright.sheet-proposal/1"
MOST_LISTED = 100
FIRST_SHOWN = 3
"""Films of each sort that a preview shows. Our choice."""
BLANKS = frozenset({RowFault.NO_GRADE, RowFault.NO_DECISION})


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetRequest:
    """A sheet, and what a person says of it.

    Parameters
    ----------
    sheet : Path
    mapping : Path or None
        One kept from another month.
    answers : tuple of str
        KEY=VALUE: of a question, of ``column.HEADING``, or of ``FIELD.WORD``.
    """

    sheet: Path
    mapping: Path | None = None
    answers: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class RowProblem:
    """What is wrong with a row: where it stands, under which heading, why."""

    sheet: str
    line: int
    heading: str
    why: str

    def document(self) -> dict[str, Any]:
        """As data for machines."""
        return {"sheet": self.sheet, "line": self.line, "column": self.heading, "why": self.why}


@dataclass(slots=True, kw_only=True)
class CheckedRow:
    """A row that was read: its exposure and key where it is good, what is wrong where not."""

    read: RowRead
    key: str
    state: State | None
    problems: list[RowProblem]


@dataclass(slots=True, kw_only=True)
class Preview:
    """What an import would bring."""

    good: int = 0
    bad: int = 0
    outside: int = 0
    problems: list[RowProblem] = field(default_factory=list)
    problem_count: int = 0
    decisions: Counter[str] = field(default_factory=Counter)
    first: str = ""
    last: str = ""
    names: int = 0
    has_blanks: bool = False
    """Whether a row lacks its grade or its decision."""
    guessed: int = 0
    """Words that nobody knows, of fields that are not asked: they are taken by a guess."""
    films: list[CheckedRow] = field(default_factory=list)
    """The first films of each sort, by what was decided and whether it was a retake."""
    lost: str = ""
    """For which reason many rows cannot be taken yet."""

    @property
    def undecided(self) -> int:
        """Exposures that nobody has decided on."""
        return self.decisions["undecided"]

    @property
    def said(self) -> str:
        """The same in a sentence or two."""
        return self.lost + preview_words(
            good=self.good,
            bad=self.bad,
            outside=self.outside,
            undecided=self.undecided,
            names=self.names,
            first=self.first,
            last=self.last,
            guessed=min(self.guessed, self.good),
        )

    _sorts: Counter[tuple[str | None, str | None]] = field(default_factory=Counter)

    def add(self, row: CheckedRow) -> None:
        """One more row."""
        if row.read.is_outside:
            self.outside += 1
            return
        if row.state is None:
            self.bad += 1
            self.has_blanks |= any(each.fault in BLANKS for each in row.read.faults)
            self.problem_count += len(row.problems)
            if len(self.problems) < MOST_LISTED:
                self.problems.extend(row.problems)
            return
        self.good += 1
        day = row.state["day"]
        self.first, self.last = min(self.first or day, day), max(self.last, day)
        self.decisions[row.state.get("decision", "undecided")] += 1
        self._sorts[row.state.get("decision"), row.state.get("kind")] += 1
        if self._sorts[row.state.get("decision"), row.state.get("kind")] <= FIRST_SHOWN:
            self.films.append(row)


@dataclass(frozen=True, slots=True, kw_only=True)
class WordMeaning:
    """A distinct word of a column, how often it stands there, and what it is taken for."""

    field: str
    word: str
    count: int
    meaning: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """What was made of a sheet."""

    sheet: Understanding
    questions: tuple[SheetQuestion, ...]
    words: tuple[WordMeaning, ...]
    preview: Preview

    @property
    def open(self) -> tuple[SheetQuestion, ...]:
        """Questions not answered yet."""
        return tuple(each for each in self.questions if each.given is None)

    def document(self) -> dict[str, Any]:
        """As data for machines."""
        table, preview = self.sheet.table, self.preview
        return {
            "format": SUGGESTED_FORMAT,
            "name": self.sheet.name,
            "sheets": list(table.sheets),
            "sheets_left_out": [{"sheet": n, "why": w.value} for n, w in table.sheets_left_out],
            "columns": [
                {"heading": name, "holds": self.sheet.columns.get(name)} for name in table.headings
            ],
            "questions": [
                {
                    "key": each.ask.value,
                    "answers": list(each.answers),
                    "proposed": each.proposed,
                    "given": each.given,
                    "about": list(each.about),
                }
                for each in self.questions
            ],
            "words": [
                {"field": w.field, "word": w.word, "count": w.count, "meaning": w.meaning}
                for w in self.words
            ],
            "left_out": [
                {"sheet": name, "line": line, "why": why.value}
                for name, line, why, _ in table.left_out
            ],
            "exposures": preview.good,
            "bad_rows": preview.bad,
            "not_intraoral": preview.outside,
            "undecided": preview.undecided,
            "guessed": min(preview.guessed, preview.good),
            "decisions": dict(preview.decisions),
            "names": preview.names,
            "first_day": preview.first,
            "last_day": preview.last,
            "problems": [problem.document() for problem in preview.problems],
            "problem_count": preview.problem_count,
        }


def understand_sheet(request: SheetRequest) -> Understanding:
    """What a sheet holds, with what is said of it.

    Raises
    ------
    WorkbookUnreadableError, NoTableError, TallySheetError, AnswerError and more
    """
    return understand_workbook(read_workbook(request.sheet), request_given(request))


def understand_workbook(workbook: Workbook, given: Given) -> Understanding:
    """The same of a workbook that was read."""
    return with_lost_rows(with_doubtful_retake(understood(workbook, given, today=today_number())))


def request_given(request: SheetRequest) -> Given:
    """What the mapping and the answers of a request say; an answer goes before the mapping."""
    kept = Given() if request.mapping is None else read_sheet_mapping(request.mapping)
    return both_given(kept, given_answers(request.answers))


def proposal_of(sheet: Understanding, known_names: Mapping[str, str]) -> Proposal:
    """Questions, words and preview of a sheet; ``known_names``: names kept before, by code."""
    people, words = Pseudonyms(known_names), _Words(sheet)
    preview = Preview(lost=rows_lost_words(sheet.lost, len(sheet.table.rows)))
    for row in checked_rows(sheet, people):
        preview.add(row)
        words.add(row.read)
    preview.names = len(people.made)
    questions = questions_of(sheet)
    preview.guessed = _guessed(sheet, questions)
    return Proposal(sheet=sheet, questions=questions, words=words.meanings(), preview=preview)


def _guessed(sheet: Understanding, questions: Sequence[SheetQuestion]) -> int:
    """How often words stand there that are taken by a guess and that no question shows."""
    shown = {word.field for each in questions for word in each.words}
    said = {name: sheet.words.get(name, {}) for name in ASKED_FIELDS}
    return sum(
        word.count
        for name in ASKED_FIELDS
        if name not in shown
        for word in asked_words(sheet, name)
        if not word.is_known and word.proposed and word_of(word.word) not in said[name]
    )


def checked_rows(sheet: Understanding, people: Pseudonyms) -> Iterator[CheckedRow]:
    """Every row of a sheet with its key and exposure, or with all that is wrong with it."""
    questions_of(sheet)  # a wrong answer is refused before a row is read
    today, keys, of_sheet = today_number(), _RowKeys(), dict[tuple[str, str], str]()
    for read in rows_read(sheet, people):
        key = keys.of(read)
        if read.is_outside:
            yield CheckedRow(read=read, key=key, state=None, problems=[])
            continue
        repeats = of_sheet.get((read.row.sheet, read.repeats))
        if repeats is not None:
            read.fields["retake_of"] = repeats
        state, problems = _checked(sheet, read, today)
        if state is not None and read.sheet_key:
            of_sheet.setdefault((read.row.sheet, read.sheet_key), key)
        yield CheckedRow(read=read, key=key, state=state, problems=problems)


def _checked(
    sheet: Understanding, read: RowRead, today: int
) -> tuple[State | None, list[RowProblem]]:
    row, problems = read.row, []
    for fault in read.faults:
        why = cell_fault_words(fault)
        problems.append(RowProblem(sheet=row.sheet, line=row.line, heading=fault.heading, why=why))
    state: State = {}
    for name, text in read.fields.items():
        try:
            state[name] = from_text(name, text)
        except BitewrightError as error:
            problems.append(_problem(sheet, read, name, error))
    if not problems:
        try:
            return completed(state, today=today), []
        except BitewrightError as error:
            problems.append(_problem(sheet, read, getattr(error, "field", ""), error))
    return None, problems


def _problem(sheet: Understanding, read: RowRead, name: str, error: BitewrightError) -> RowProblem:
    heading = sheet.heading(name) or ""
    why = getattr(error, "problem", str(error)) if heading else str(error)
    return RowProblem(sheet=read.row.sheet, line=read.row.line, heading=heading, why=why)


class _RowKeys:
    """A key for each row by what stands in it, whatever it is taken to mean."""

    def __init__(self) -> None:
        self._seen: Counter[str] = Counter()

    def of(self, read: RowRead) -> str:
        """The key of the next row; equal rows are told apart by their order."""
        cells = sorted((plain(name), cell_text(cell)) for name, cell in read.row.cells.items())
        text = json.dumps([read.fields.get("day", ""), cells], ensure_ascii=False)
        digest = hashlib.sha256(text.encode("utf-8")).hexdigest()[:32]
        self._seen[digest] += 1
        return f"row-{digest}-{self._seen[digest]}"


class _Words:
    """Distinct words of the columns whose words mean something, and what they were taken for."""

    def __init__(self, sheet: Understanding) -> None:
        self._sheet = sheet
        self._counts: Counter[tuple[str, str, str]] = Counter()

    def add(self, read: RowRead) -> None:
        """One more row."""
        sheet = self._sheet
        for name in ("rating", "decision", "faults"):
            for heading in sheet.headings(name):
                self._count(name, cell_text(read.row.cells.get(heading)), read.fields.get(name, ""))
        parts = [
            cell_text(read.row.cells[heading])
            for target in ("view", "side", "region", "teeth")
            for heading in sheet.headings(target)
            if heading in read.row.cells
        ]
        self._count("view", " ".join(parts), read.fields.get("view", ""))

    def _count(self, name: str, word: str, meaning: str) -> None:
        if word:
            self._counts[name, word, meaning] += 1

    def meanings(self) -> tuple[WordMeaning, ...]:
        """All of them, the commonest of each field first."""
        ordered = sorted(self._counts.items(), key=lambda each: (each[0][0], -each[1]))
        return tuple(
            WordMeaning(field=name, word=word, count=count, meaning=meaning)
            for (name, word, meaning), count in ordered
        )


class QuestionsOpenError(BitewrightError):
    """A sheet cannot be taken before its questions are answered."""

    def __init__(self, sheet: str, asked: Sequence[SheetQuestion]) -> None:
        self.questions = tuple(asked)
        keys = ", ".join(each.ask.value for each in asked)
        super().__init__(
            f"The sheet {quoted(sheet)} leaves open: {keys}. Look with --suggest, then give "
            "--answer KEY=VALUE for each."
        )


__all__ = [
    "CheckedRow",
    "Preview",
    "Proposal",
    "QuestionsOpenError",
    "RowProblem",
    "SheetRequest",
    "WordMeaning",
    "checked_rows",
    "proposal_of",
    "request_given",
    "understand_sheet",
    "understand_workbook",
]

"""What the page of the record shows of a sheet, in words, and what it asks to be done with it."""

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from bitewright.files.toml_files import toml_bytes
from bitewright.files.workbooks import workbook_from_bytes
from bitewright.log.faults import fault_kinds
from bitewright.sheets.asked_meanings import NO_FAULT, meanings_allowed
from bitewright.sheets.asked_words import AskedWord
from bitewright.sheets.cells import cell_text, word_of
from bitewright.sheets.guessing_columns import TARGETS
from bitewright.sheets.people_asked import NAMED, other_people
from bitewright.sheets.questions import EACH_SAID, Ask
from bitewright.sheets.roles_asked import COLUMN
from bitewright.sheets.understanding import Understanding
from bitewright.store.opening import NoStoreError
from bitewright.tasks.log.import_sheet import (
    ImportOptions,
    import_sheet,
    list_imports,
    proposed,
    undo_import,
)
from bitewright.tasks.log.sheet_mapping import given_answers, mapping_document
from bitewright.tasks.log.understand_sheet import CheckedRow, Proposal, understand_workbook
from bitewright.words.log import imported_words
from bitewright.words.log_titles import fault_title, field_title, field_value_title
from bitewright.words.sheets import (
    ABOUT_MAPPING,
    answer_words,
    held_title,
    left_out_title,
    meaning_title,
    question_words,
    row_words,
    same_person,
    sheet_left_out_title,
    taken_back_words,
    word_left_out,
)

MARKED = tuple(f"fault:{name}" for name in fault_kinds())
"""What marks in a column may stand for, where its heading does not say."""
MOST_SHOWN = 200
SAMPLE = 24
"""Letters of a cell that are shown beside the name of its column. Our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetPage:
    """A sheet as the page shows it.

    Parameters
    ----------
    name : str
    columns : list of heading, what it holds and its title
    choices : list of what a column may hold and its title
    questions : list of key, words, answers, proposal and what was given
    words : list of field, word, count and meaning
    films : list of line, what stands in the sheet and what would come in, of the first of each sort
    problems, left_out : list
    said : str
        What would come in.
    more : int
        Faults that are not listed.
    is_ready : bool
        Whether no question is open.
    bad : int
        Rows with faults.
    blanks : str or None
        What becomes of rows without a grade or a decision; None where there are none.
    """

    name: str
    columns: list[dict[str, str]]
    choices: list[dict[str, str]]
    questions: list[dict[str, Any]]
    words: list[dict[str, Any]]
    films: list[dict[str, Any]]
    problems: list[dict[str, Any]]
    left_out: list[dict[str, Any]]
    said: str
    more: int
    is_ready: bool
    bad: int
    blanks: str | None


def sheet_page(content: bytes, path: Path, answers: tuple[str, ...]) -> SheetPage:
    """What is made of a sheet; nothing is written.

    Raises
    ------
    WorkbookUnreadableError, NoTableError, TallySheetError, AnswerError and more
    """
    proposal = proposed(_understood(content, path, answers), None)
    sheet, preview = proposal.sheet, proposal.preview
    asked = any(each.ask is Ask.COLUMNS for each in proposal.questions)
    return SheetPage(
        name=path.name,
        columns=[
            {**_column(sheet, name), "asked": "yes" if name in sheet.unsure and asked else ""}
            for name in sheet.table.headings
        ],
        choices=[{"value": each, "title": held_title(each)} for each in (*TARGETS, *MARKED)],
        questions=_questions(proposal),
        words=[
            {
                "field": field_title(each.field),
                "word": each.word,
                "count": each.count,
                "meaning": _meaning(each.field, each.meaning),
            }
            for each in proposal.words[:MOST_SHOWN]
        ],
        films=[_film(sheet, row) for row in preview.films],
        problems=[problem.document() for problem in preview.problems],
        left_out=_left_out(proposal),
        said=preview.said,
        more=preview.problem_count - len(preview.problems),
        is_ready=not proposal.open,
        bad=preview.bad,
        blanks=_blanks(proposal),
    )


def _film(sheet: Understanding, row: CheckedRow) -> dict[str, Any]:
    """A row as it stands in the sheet, and the film that would come in of it."""
    names = [name for target in (*SHOWN, *OF_RETAKES) for name in sheet.headings(target)]
    texts = [text for name in names if (text := cell_text(row.read.row.cells.get(name)))]
    state = row.state or {}
    return {
        "sheet": row.read.row.sheet,
        "line": row.read.row.line,
        "text": ", ".join(map(_sample, texts)),
        "film": [field_value_title(each, state[each]) if each in state else "" for each in TAKEN],
    }


def _sample(text: str) -> str:
    """The beginning of a cell, with a sign that it goes on."""
    return text if len(text) <= SAMPLE else f"{text[:SAMPLE]}…"


def _blanks(proposal: Proposal) -> str | None:
    """What becomes of rows without a grade or a decision, where that is not asked."""
    unasked = "fault" if proposal.preview.has_blanks else None
    return proposal.sheet.given.answers.get("blanks", unasked)


def _understood(content: bytes, path: Path, answers: tuple[str, ...]) -> Understanding:
    return understand_workbook(workbook_from_bytes(content, path), given_answers(answers))


def _column(sheet: Understanding, name: str) -> dict[str, str]:
    held = sheet.columns.get(name, "")
    return {"heading": name, "holds": held, "title": held_title(held) if held else ""}


def _questions(proposal: Proposal) -> list[dict[str, Any]]:
    return [
        {
            "key": each.ask.value,
            "words": question_words(each, with_words=False),
            "answers": [
                {"value": a, "means": answer_words(each, a)}
                for a in each.answers
                if a.removeprefix(COLUMN) not in each.columns
            ],
            "choices": [
                {"value": a, "title": _with_samples(proposal.sheet, a.removeprefix(COLUMN))}
                for a in each.answers
                if a.removeprefix(COLUMN) in each.columns
            ],
            "doubtful": [
                {**_column(proposal.sheet, name), "title": _with_samples(proposal.sheet, name)}
                for name in (proposal.sheet.unsure if each.ask is Ask.COLUMNS else ())
            ],
            "proposed": each.proposed,
            "given": each.given,
            "own": each.given not in {None, *each.answers, EACH_SAID},
            "asked": [_asked(proposal.sheet, word) for word in each.words],
        }
        for each in proposal.questions
    ]


def _with_samples(sheet: Understanding, heading: str) -> str:
    """A column by its name and two of its cells that differ."""
    some = list(dict.fromkeys(map(cell_text, sheet.table.column(heading))))[:2]
    return f"{heading}: {', '.join(map(_sample, some))}"


def _asked(sheet: Understanding, word: AskedWord) -> dict[str, Any]:
    """A word with what it is taken for, and all that it may mean."""
    said = sheet.given.words.get(word.field, {}).get(word_of(word.word), word.proposed)
    if word.field == NAMED:
        choices = list(other_people(sheet, word.word))
    else:
        choices = [each for each in meanings_allowed(word.field) if each != NO_FAULT]
    return {
        "field": word.field,
        "word": word.word,
        "count": word.count,
        "example": "" if word.is_known or word.field == NAMED else _example(sheet, word),
        "nothing": word_left_out(word.field),
        "known": word.is_known,
        "held": "" if said in {"nothing", "none"} else said,
        "choices": [{"value": each, "title": _choice_title(word.field, each)} for each in choices],
    }


def _choice_title(field: str, meaning: str) -> str:
    if field == NAMED:
        return same_person(meaning)
    return meaning_title(meaning) or _meaning(field, meaning)


SHOWN = ("day", "view", "side", "region", "rating", "decision", "faults")
"""What is shown of the first row in which a word stands; nobody's name, and no patient."""


OF_RETAKES = ("rejected", "retake", "retaken", "is_retake", "tries")
TAKEN = ("day", "view", "operator", "rating", "faults", "decision", "kind")
TAKEN_TITLES = tuple(map(field_title, TAKEN))
"""What is shown of a film that would come in."""


def _example(sheet: Understanding, word: AskedWord) -> str:
    """The first row in which a word stands, by its line and what it tells of the film."""
    names = [name for target in SHOWN for name in sheet.headings(target)]
    for row in sheet.table.rows:
        texts = [text for name in names if (text := cell_text(row.cells.get(name)))]
        said = f" {' '.join(map(word_of, texts))} "
        if f" {word_of(word.word)} " in said:
            return row_words(row.sheet, row.line, [*map(_sample, texts)])
    return ""


def _meaning(field: str, meaning: str) -> str:
    if not meaning:
        return ""
    if field == "faults":
        return ", ".join(fault_title(each.partition(":")[0]) for each in meaning.split("|"))
    return field_value_title(field, meaning)


def _left_out(proposal: Proposal) -> list[dict[str, Any]]:
    table = proposal.sheet.table
    sheets = [
        {"sheet": name, "line": "", "why": sheet_left_out_title(why), "text": ""}
        for name, why in table.sheets_left_out
    ]
    rows = [
        {"sheet": name, "line": line, "why": left_out_title(why), "text": text[:60]}
        for name, line, why, text in table.left_out[:MOST_SHOWN]
    ]
    return [*sheets, *rows]


def brought_in(
    content: bytes, path: Path, answers: tuple[str, ...], options: ImportOptions
) -> dict[str, Any]:
    """Take a sheet into the usual store; what was done, in words.

    Raises
    ------
    QuestionsOpenError, SheetFaultsError, BroughtAgainError
    """
    answer = import_sheet(_understood(content, path, answers), options)
    rows = answer.added + answer.already_there + answer.preview.bad
    said = imported_words(
        added=answer.added, already_there=answer.already_there, bad=answer.preview.bad, rows=rows
    )
    return {"id": answer.id, "said": said}


def imports_shown() -> list[dict[str, Any]]:
    """The imports of the usual store, the newest first; none where there is no store yet."""
    try:
        found = list_imports(None)
    except NoStoreError:
        return []
    return [
        {
            "id": each.id,
            "sheet": each.sheet,
            "exposures": each.exposures,
            "when": each.written_at.replace("T", " ").removesuffix("Z"),
        }
        for each in reversed(found)
    ]


def taken_back(identifier: str) -> str:
    """Take an import of the usual store back; what went, in words."""
    answer = undo_import(identifier, None)
    return taken_back_words(exposures=answer.exposures, later=answer.later, names=answer.names)


def mapping_text(content: bytes, path: Path, answers: tuple[str, ...]) -> bytes:
    """A sheet's mapping for next month, as the command line takes it."""
    sheet = _understood(content, path, answers)
    return toml_bytes(mapping_document(sheet), name="mapping", comment=ABOUT_MAPPING)


__all__ = [
    "TAKEN_TITLES",
    "SheetPage",
    "brought_in",
    "imports_shown",
    "mapping_text",
    "sheet_page",
    "taken_back",
]

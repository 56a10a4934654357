"""What a person says of a sheet: answers, and the mapping kept for next month."""

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from bitewright.errors import BitewrightError, quoted
from bitewright.files.json_documents import check_document
from bitewright.files.toml_files import read_toml, write_toml
from bitewright.log.fields import FIELDS
from bitewright.sheets.cells import plain, word_of
from bitewright.sheets.people_asked import NAMED, spellings
from bitewright.sheets.questions import QUIET, Ask
from bitewright.sheets.understanding import Given, Understanding
from bitewright.words.sheets import ABOUT_MAPPING

SHEET_MAPPING_FORMAT = "bitewright.sheet-mapping/1"
SCHEMAS = {SHEET_MAPPING_FORMAT: "sheet-mapping-1.json"}
QUESTIONS = (*(ask.value for ask in Ask), *QUIET)
WORDED = ("view", "rating", "decision", "faults", "operator", "supervisor", "decided_by", "level")


class AnswerFormError(BitewrightError):
    """An answer cannot be understood."""

    def __init__(self, given: str) -> None:
        self.given = given
        super().__init__(
            f"--answer {quoted(given)} cannot be understood: write KEY=VALUE, the key being one of "
            f"{', '.join(QUESTIONS)}, or column.HEADING, or a field and a word such as faults.WORD."
        )


def given_answers(answers: Sequence[str]) -> Given:
    """What answers KEY=VALUE say.

    Raises
    ------
    AnswerFormError
    """
    columns: dict[str, str] = {}
    words: dict[str, dict[str, str]] = {}
    said: dict[str, str] = {}
    for given in answers:
        key, equals, value = given.rpartition("=")
        key, value = key.strip(), value.strip()
        part, dot, rest = key.partition(".")
        if not equals or not key:
            raise AnswerFormError(given)
        if dot and part == "column":
            columns[rest.strip()] = value.replace("-", "_") if value not in FIELDS else value
        elif dot and part in WORDED and word_of(rest):
            words.setdefault(part, {})[word_of(rest)] = value
        elif key in QUESTIONS:
            said[key] = value
        else:
            raise AnswerFormError(given)
    return Given(columns=columns, words=words, answers=said, must_be_there=tuple(columns))


def both_given(kept: Given, said: Given) -> Given:
    """Two of them; what is said goes before what was kept."""
    fields = {*kept.words, *said.words}
    return Given(
        columns={**kept.columns, **said.columns},
        words={name: {**kept.words.get(name, {}), **said.words.get(name, {})} for name in fields},
        answers={**kept.answers, **said.answers},
        must_be_there=said.must_be_there,
    )


def is_sheet_mapping(path: Path) -> bool:
    """Whether a mapping file is one for a sheet, and not for a CSV table column by column."""
    return read_toml(path).get("format") == SHEET_MAPPING_FORMAT


def read_sheet_mapping(path: Path) -> Given:
    """What a mapping file says.

    Raises
    ------
    SchemaViolationError
    """
    document = read_toml(path)
    check_document(document, str(path), schemas=SCHEMAS)
    return given_from(document)


def given_from(document: dict[str, Any]) -> Given:
    """What a mapping's document says."""
    return Given(
        columns=document.get("columns", {}),
        words={
            name: {word_of(word): meaning for word, meaning in words.items()}
            for name, words in document.get("words", {}).items()
        },
        answers=document.get("answers", {}),
    )


def mapping_document(sheet: Understanding) -> dict[str, Any]:
    """A mapping as it is kept: columns, words that a person explained, answers.

    Who is who is not kept: it names people, and next month two of them may bear one name.
    """
    people = {plain(text) for text in spellings(sheet)}
    words = {
        name: {word: held for word, held in said.items() if plain(held) not in people}
        if name == NAMED
        else dict(said)
        for name, said in sheet.given.words.items()
    }
    return {
        "format": SHEET_MAPPING_FORMAT,
        "columns": {name: sheet.columns.get(name, "") for name in sheet.table.headings},
        "answers": {
            key: text for key, text in sheet.given.answers.items() if key != Ask.PEOPLE.value
        },
        "words": {name: held for name, held in words.items() if held},
    }


def write_sheet_mapping(sheet: Understanding, path: Path) -> None:
    """Write it for next month.

    Raises
    ------
    FileUnwritableError
    """
    write_toml(path, mapping_document(sheet), comment=ABOUT_MAPPING)


__all__ = [
    "QUESTIONS",
    "SHEET_MAPPING_FORMAT",
    "AnswerFormError",
    "both_given",
    "given_answers",
    "given_from",
    "is_sheet_mapping",
    "mapping_document",
    "read_sheet_mapping",
    "write_sheet_mapping",
]

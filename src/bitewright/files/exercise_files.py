"""A set of exercises as files: the student's page, the teacher's key, and a student's answers."""

import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from bitewright.errors import BitewrightError
from bitewright.files.disk import read_file
from bitewright.files.json_documents import check_document, document_bytes, parse_document

SET_FORMAT = "bitewright.exercise-set/1"
KEY_FORMAT = "bitewright.exercise-key/1"
ANSWERS_FORMAT = "bitewright.exercise-answers/1"
_SCHEMAS = {
    each: f"{each.removeprefix('bitewright.').removesuffix('/1')}-1.json"
    for each in (SET_FORMAT, KEY_FORMAT, ANSWERS_FORMAT)
}
MOST_BYTES = 256 << 20
_WITHIN = re.compile(rb'<script type="application/json" id="set">(.*?)</script>', re.DOTALL)


class NoSetInPageError(BitewrightError):
    """A page was given as a set that holds none."""

    def __init__(self, path: Path) -> None:
        self.path = path
        super().__init__(
            f"The page {path} holds no set of exercises: give the file that `bitewright teach set` "
            "wrote for the student."
        )


class OtherSetError(BitewrightError):
    """Files of two sets were given together."""

    def __init__(self, path: Path) -> None:
        self.path = path
        super().__init__(
            f"The file {path} belongs to another set than the one given: give the files of one set."
        )


def exercise_bytes(document: Mapping[str, Any]) -> bytes:
    """A set, key or answers as JSON, checked; within a page nothing in it ends the script."""
    check_document(document, "the exercises", schemas=_SCHEMAS)
    return document_bytes(document).replace(b"</", b"<\\/")


def read_set_page(path: Path) -> dict[str, Any]:
    """The set within a student's page.

    Raises
    ------
    FileUnreadableError, NoSetInPageError, NotJsonError, SchemaViolationError
    """
    found = _WITHIN.search(read_file(path, most_bytes=MOST_BYTES))
    if found is None:
        raise NoSetInPageError(path)
    return parse_document(found[1], str(path), schemas={SET_FORMAT: _SCHEMAS[SET_FORMAT]})


def read_key(path: Path, *, of_set: str) -> dict[str, Any]:
    """The key of a set.

    Raises
    ------
    FileUnreadableError, NotJsonError, DocumentFormatError, SchemaViolationError, OtherSetError
    """
    return _of_set(path, KEY_FORMAT, of_set)


def read_answers(path: Path, *, of_set: str) -> dict[str, Any]:
    """A student's answers to a set; errors as `read_key`."""
    return _of_set(path, ANSWERS_FORMAT, of_set)


def _of_set(path: Path, of_format: str, of_set: str) -> dict[str, Any]:
    text = read_file(path, most_bytes=MOST_BYTES)
    document = parse_document(text, str(path), schemas={of_format: _SCHEMAS[of_format]})
    if document["set"] != of_set:
        raise OtherSetError(path)
    return document


__all__ = [
    "ANSWERS_FORMAT",
    "KEY_FORMAT",
    "SET_FORMAT",
    "NoSetInPageError",
    "OtherSetError",
    "exercise_bytes",
    "read_answers",
    "read_key",
    "read_set_page",
]

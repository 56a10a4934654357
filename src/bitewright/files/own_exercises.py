"""Exercises with films of one's own, a file each in the user's data folder."""

from collections.abc import Mapping
from typing import Any

from bitewright.files.disk import FileUnreadableError, read_file
from bitewright.files.json_documents import check_document, document_bytes, parse_document
from bitewright.files.own_folder import own_exercises_folder
from bitewright.keeping.whole_files import FileUnwritableError, make_folder, why_not, write_file

OWN_EXERCISE_FORMAT = "bitewright.own-exercise/1"
_SCHEMAS = {OWN_EXERCISE_FORMAT: "own-exercise-1.json"}
MOST_BYTES = 16 << 20


def keep_own_exercise(document: Mapping[str, Any]) -> None:
    """Write one, whole or not at all.

    Raises
    ------
    SchemaViolationError, FileUnwritableError
    """
    check_document(document, "the exercise", schemas=_SCHEMAS)
    folder = own_exercises_folder()
    make_folder(folder)
    write_file(folder / f"{document['name']}.json", document_bytes(document))


def own_exercise_documents() -> dict[str, dict[str, Any]]:
    """All of them by name.

    Raises
    ------
    FileUnreadableError, NotJsonError, DocumentFormatError, SchemaViolationError
    """
    folder = own_exercises_folder()
    try:
        files = sorted(file for file in folder.iterdir() if file.suffix == ".json")
    except FileNotFoundError:
        return {}
    except OSError as error:
        raise FileUnreadableError(folder, why_not(error)) from error
    found = {}
    for file in files:
        text = read_file(file, most_bytes=MOST_BYTES)
        found[file.stem] = parse_document(text, str(file), schemas=_SCHEMAS)
    return found


def remove_own_exercise(name: str) -> None:
    """Remove one's file.

    Raises
    ------
    FileUnwritableError
        If it may not be removed.
    """
    file = own_exercises_folder() / f"{name}.json"
    try:
        file.unlink(missing_ok=True)
    except OSError as error:
        raise FileUnwritableError(file, why_not(error)) from error


__all__ = [
    "OWN_EXERCISE_FORMAT",
    "keep_own_exercise",
    "own_exercise_documents",
    "remove_own_exercise",
]

"""Attempts from a file of somebody's own: JSON Lines, or a table with a heading."""

import json
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from bitewright.competence.attempts import REQUIRED, Attempt, AttemptError, attempt_from
from bitewright.errors import BitewrightError
from bitewright.files.csv_rows import rows_of_csv
from bitewright.files.disk import read_file

ENDINGS = (".jsonl", ".csv")


class AttemptFileError(BitewrightError):
    """A file of attempts, or a line of it, cannot be taken."""

    def __init__(self, path: Path, problem: str, line: int | None = None) -> None:
        self.path = path
        self.line = line
        where = f"{path}" if line is None else f"{path}, line {line}"
        super().__init__(f"{where}: {problem}")


def read_attempts(path: Path) -> list[Attempt]:
    """All attempts of a file, in its order.

    Raises
    ------
    AttemptFileError
        At the first line that cannot be taken.
    FileUnreadableError, CsvUnreadableError
    """
    ending = path.suffix.lower()
    if ending not in ENDINGS:
        raise AttemptFileError(path, f"give a file that ends in {' or '.join(ENDINGS)}.")
    rows = _lines(path) if ending == ".jsonl" else _rows(path)
    found = []
    for line, fields in rows:
        try:
            found.append(attempt_from(fields))
        except AttemptError as error:
            raise AttemptFileError(path, str(error), line) from error
    if not found:
        raise AttemptFileError(path, "it holds no attempt: give one a line.")
    return found


def _lines(path: Path) -> Iterator[tuple[int, Mapping[str, Any]]]:
    try:
        text = read_file(path).decode("utf-8")
    except UnicodeDecodeError as error:
        raise AttemptFileError(path, "its text is not UTF-8: save it so.") from error
    for number, line in enumerate(text.splitlines(), start=1):
        if not line.strip():
            continue
        try:
            fields = json.loads(line)
        except (ValueError, RecursionError) as error:
            raise AttemptFileError(path, "this is no JSON: give one object.", number) from error
        if not isinstance(fields, dict):
            raise AttemptFileError(path, "this is no JSON object: give one.", number)
        yield number, fields


def _rows(path: Path) -> Iterator[tuple[int, Mapping[str, Any]]]:
    rows = rows_of_csv(path, separator=None, encoding=None)
    heading = [name.strip().lower() for name in next(rows, (1, []))[1]]
    missing = [name for name in REQUIRED if name not in heading]
    if missing:
        problem = f"its heading lacks {', '.join(missing)}: name the columns so."
        raise AttemptFileError(path, problem)
    for line, cells in rows:
        yield line, dict(zip(heading, cells, strict=False))


__all__ = ["AttemptFileError", "read_attempts"]

"""Grades that several people gave the same images, as a CSV table: image, rater, grade."""

from pathlib import Path

from bitewright.errors import BitewrightError
from bitewright.files.csv_rows import rows_of_csv
from bitewright.log.csv_mapping import CsvMapping, RowReader

COLUMNS = ("image", "rater", "grade")


class RatingRowError(BitewrightError):
    """A row of grades cannot be taken."""

    def __init__(self, path: Path, line: int, problem: str) -> None:
        self.path = path
        self.line = line
        super().__init__(f"{path}, line {line}: {problem}.")


def read_ratings(path: Path) -> dict[str, dict[str, str]]:
    """Grade by image and rater.

    Raises
    ------
    CsvUnreadableError, MissingColumnError
    RatingRowError
        Where a rater graded one image twice, or a cell is empty.
    """
    rows = rows_of_csv(Path(path), separator=None, encoding=None)
    heading = [name.strip().lower() for name in next(rows, (1, []))[1]]
    reader = RowReader(CsvMapping(columns={name: name for name in COLUMNS}), heading)
    ratings: dict[str, dict[str, str]] = {}
    for line, cells in rows:
        row = reader.mapped(cells).fields
        empty = next((name for name in COLUMNS if name not in row), None)
        if empty is not None:
            problem = f"column '{empty}' is empty; fill it in, or leave the row out"
            raise RatingRowError(path, line, problem)
        given = ratings.setdefault(row["image"], {})
        if row["rater"] in given:
            problem = f"{row['rater']} has graded image {row['image']} before; keep one grade"
            raise RatingRowError(path, line, problem)
        given[row["rater"]] = row["grade"]
    return ratings


__all__ = ["RatingRowError", "read_ratings"]

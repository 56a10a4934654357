"""Grades that several people gave the same images, as a CSV table: image, rater, grade, patient."""

from dataclasses import dataclass
from pathlib import Path

from bitewright.errors import BitewrightError
from bitewright.files.csv_rows import rows_of_csv
from bitewright.log.csv_mapping import CsvMapping, RowReader

COLUMNS = ("image", "rater", "grade")
PATIENT = "patient"
"""May be left out: then each image is taken to be of another patient."""


class RatingRowError(BitewrightError):
    """A row of grades cannot be taken."""

    def __init__(self, path: Path, line: int, problem: str) -> None:
        self.path = path
        self.line = line
        super().__init__(f"{path}, line {line}: {problem}.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Ratings:
    """Grades, and whose images they are of.

    Parameters
    ----------
    grades : dict
        Grade by image and rater.
    patients : dict of str to str
        Code of the patient by image; empty where the table has no such column.
    """

    grades: dict[str, dict[str, str]]
    patients: dict[str, str]


def read_ratings(path: Path) -> Ratings:
    """The grades of a table.

    Raises
    ------
    CsvUnreadableError, MissingColumnError
    RatingRowError
        Where a rater graded one image twice, an image is of two patients, or a cell is empty.
    """
    rows = rows_of_csv(Path(path), separator=None, encoding=None)
    heading = [name.strip().lower() for name in next(rows, (1, []))[1]]
    columns = (*COLUMNS, PATIENT) if PATIENT in heading else COLUMNS
    reader = RowReader(CsvMapping(columns={name: name for name in columns}), heading)
    ratings, patients = dict[str, dict[str, str]](), dict[str, str]()
    for line, cells in rows:
        row = reader.mapped(cells).fields
        empty = next((name for name in columns if name not in row), None)
        if empty is not None:
            problem = f"column '{empty}' is empty; fill it in, or leave the row out"
            raise RatingRowError(path, line, problem)
        given = ratings.setdefault(row["image"], {})
        if row["rater"] in given:
            problem = f"{row['rater']} has graded image {row['image']} before; keep one grade"
            raise RatingRowError(path, line, problem)
        given[row["rater"]] = row["grade"]
        if PATIENT in row and patients.setdefault(row["image"], row[PATIENT]) != row[PATIENT]:
            problem = f"image {row['image']} was another patient's before; give each image one"
            raise RatingRowError(path, line, problem)
    return Ratings(grades=ratings, patients=patients)


__all__ = ["RatingRowError", "Ratings", "read_ratings"]

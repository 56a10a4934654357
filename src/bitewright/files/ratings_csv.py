"""Grades that several people gave the same images, as a CSV table: image, rater, grade."""

from pathlib import Path

from bitewright.files.csv_tables import CsvTableError, read_csv

COLUMNS = ("image", "rater", "grade")


def read_ratings(path: Path) -> dict[str, dict[str, str]]:
    """Grade by image and rater.

    Raises
    ------
    CsvUnreadableError, CsvTableError
        Also where a rater graded one image twice, or a cell is empty.
    """
    ratings: dict[str, dict[str, str]] = {}
    for row, cells in read_csv(Path(path), required=COLUMNS, allowed=COLUMNS):
        empty = next((name for name in COLUMNS if not cells[name]), None)
        if empty is not None:
            problem = "the cell is empty; fill it in, or leave the row out"
            raise CsvTableError(Path(path), f"row {row}, column {empty}", problem)
        given = ratings.setdefault(cells["image"], {})
        if cells["rater"] in given:
            problem = f"{cells['rater']} has graded image {cells['image']} before; keep one grade"
            raise CsvTableError(Path(path), f"row {row}", problem)
        given[cells["rater"]] = cells["grade"]
    return ratings


__all__ = ["read_ratings"]

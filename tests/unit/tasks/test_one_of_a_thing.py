"""A refusal that counts has the right form for one."""

from bitewright.store.imports import ImportRecord
from bitewright.tasks.log.import_sheet import BroughtAgainError
from bitewright.tasks.visit.compare_recall import FewMarksError


def test_one_row_looks_like_a_film_and_two_look_like_some() -> None:
    record = ImportRecord(
        id="c0c3c73f", sheet="year", exposures=1, first=1, last=1, written_at="2026-01-05"
    )
    one, two = (str(BroughtAgainError(record, rows)) for rows in (1, 2))
    assert one.startswith("1 row of this sheet looks like films that import c0c3c73f brought")
    assert "'year', 1 exposure)" in one
    assert two.startswith("2 rows of this sheet look like films")


def test_one_mark_is_seen_and_two_are() -> None:
    assert "film has 1 mark that is seen;" in str(FewMarksError("film", 1))
    assert "film has 2 marks that are seen;" in str(FewMarksError("film", 2))

"""What is doubtful about a whole film is a doubt of each of its marks, wherever they are told."""

from dataclasses import replace
from pathlib import Path

import pytest

from bitewright.files.marks_file import read_marks, write_marks
from bitewright.marking.marks import Mark, MarkedFilm, MarkOrigin
from bitewright.proposing.refusals import FilmDoubt
from bitewright.tasks.propose.propose_marks import ProposedMarks

MARK = Mark(x_px=10.0, y_px=20.0, origin=MarkOrigin.PROPOSED)
MARKS = MarkedFilm(
    image_name="film.png",
    columns=100,
    rows=80,
    view="right-premolar",
    pixel_mm=0.03,
    marks={"14.distal": MARK, "15.mesial": replace(MARK, doubt="border")},
)


@pytest.mark.parametrize("doubt", FilmDoubt)
def test_each_mark_of_a_doubted_film_bears_a_doubt(doubt: FilmDoubt, tmp_path: Path) -> None:
    made = ProposedMarks(name="film.png", marks=MARKS, doubts=(doubt,))
    assert made.marks is not None
    write_marks(tmp_path / "film.marks.json", made.marks)
    kept = read_marks(tmp_path / "film.marks.json")
    said = {name: mark.doubt for name, mark in kept.marks.items()}
    assert said == {"14.distal": doubt.value, "15.mesial": "border"}
    assert made.doubtful == tuple(said) == tuple(made.document()["doubtful_marks"])
    document = made.document()["marks"]
    assert {name: mark["doubt"] for name, mark in document["marks"].items()} == said
    assert kept.pixel_mm == (None if doubt is FilmDoubt.PIXEL_SIZE else 0.03)
    assert ("pixel_mm" in document) is (kept.pixel_mm is not None)


def test_marks_of_a_film_that_is_not_doubted_stay_as_they_are() -> None:
    made = ProposedMarks(name="film.png", marks=MARKS)
    assert made.marks == MARKS
    assert made.doubtful == ("15.mesial",)

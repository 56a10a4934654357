"""The true marks of a predicted film tell which teeth the mouth has not."""

from pathlib import Path

import numpy as np

from bitewright.cli.options import RatingOptions, StationOptions
from bitewright.files.images import write_image
from bitewright.files.marks_file import read_marks
from bitewright.quality.views import view
from bitewright.tasks.film.film_marks import write_film_marks
from bitewright.tasks.plan.predict_exposure import predict_exposure
from bitewright.tasks.plan.wanted_setting import WantedSetting


def test_teeth_that_the_mouth_has_not_are_told_as_missing(tmp_path: Path) -> None:
    """Nobody could know from the marks whether 43 was missing, and the film was rated A."""
    asked = view("right-premolar")
    at = StationOptions(mouth=Path("population-902")).station(asked, None)
    standing = set(at.outlines.codes)
    answer = predict_exposure(asked, at, WantedSetting(), by=RatingOptions().rated_by())
    film, marks = tmp_path / "film.png", tmp_path / "film.json"
    write_image(film, np.zeros((60, 80), dtype=np.uint16), pixel_mm=0.1, description="SIMULATED")
    write_film_marks(marks, answer, film)
    assert 43 not in standing
    assert read_marks(marks).absent_teeth == tuple(c for c in asked.teeth if c not in standing)

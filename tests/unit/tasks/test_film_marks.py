"""The true marks of a predicted film tell which teeth the mouth has not."""

from pathlib import Path

import numpy as np
import pytest

from bitewright.cli.options import RatingOptions, StationOptions
from bitewright.exposing.beam_cover import BEAM_PLACES, BeamPlace
from bitewright.exposing.landmarks import Status
from bitewright.files.images import write_image
from bitewright.files.marks_file import read_marks
from bitewright.marking.assess import assess
from bitewright.marking.marks import MarkedFilm, MarkStatus
from bitewright.quality.views import view
from bitewright.tasks.film.film_marks import write_film_marks
from bitewright.tasks.plan.predict_exposure import ExposurePrediction, predict_exposure
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


@pytest.mark.parametrize("tube", ["rectangular-300", "round-200"])
def test_a_cone_cut_made_by_aiming_is_told_with_its_edge(tmp_path: Path, tube: str) -> None:
    """What the marks tell of the blank part is what the exposure leaves blank."""
    asked = view("right-molar")
    at = StationOptions(receptor="film-2", tube=tube).station(asked, None)
    by = RatingOptions().rated_by()
    spare = predict_exposure(asked, at, WantedSetting(), by=by).beam_cover_mm[BeamPlace.BACK]
    slid = WantedSetting(tube_forward_mm=spare + 14.0)
    answer = predict_exposure(asked, at, slid, by=by)
    back = answer.beam_cover_mm[BeamPlace.BACK]
    assert back < -5.0
    told = _marked(tmp_path, answer)
    (seen,) = told.observations
    assert seen.name == "cone-cut"
    found = assess(told, asked, pixel_mm=0.1).measurements.beam_margin_mm[0]
    assert found[BEAM_PLACES.index(BeamPlace.BACK)] == pytest.approx(back, abs=0.4)
    landmarks = answer.prediction.landmarks
    cut = [
        name
        for name, mark in told.marks.items()
        if landmarks.status_of(name)[0] == Status.CUT and mark.status is MarkStatus.HIDDEN
    ]
    assert "17.distal" in cut


def test_a_film_that_the_beam_covers_has_no_cone_cut(tmp_path: Path) -> None:
    asked = view("right-molar")
    at = StationOptions(receptor="film-2").station(asked, None)
    answer = predict_exposure(asked, at, WantedSetting(), by=RatingOptions().rated_by())
    assert not _marked(tmp_path, answer).observations


def _marked(folder: Path, answer: ExposurePrediction) -> MarkedFilm:
    """The true marks of a film of the size of its receptor; its grey values matter not."""
    columns, rows = (round(2.0 * mm / 0.1) for mm in answer.prediction.landmarks.half_size_mm)
    film, marks = folder / "film.png", folder / "film.json"
    write_image(film, np.zeros((rows, columns), dtype=np.uint16), pixel_mm=0.1, description="made")
    write_film_marks(marks, answer, film)
    return read_marks(marks)

"""Teeth named one place off are told from crowns of unusual form by whether other numbers fit."""

from dataclasses import replace

import numpy as np
import pytest

from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.marking.marked_landmarks import landmarks_from_marks
from bitewright.marking.marks import MarkedFilm
from bitewright.marking.tooth_numbers import widths_against
from bitewright.quality.views import view
from bitewright.tasks.propose.other_numbers import other_numbers
from bitewright.tasks.propose.unexplained import MOST_MISFIT, unexplained
from bitewright.tasks.propose.unexplained import _estimated as estimated
from bitewright.tasks.propose.unexplained import _film as film_of
from tests.unit.proposing.test_planted import PIXEL_MM, right


def named(film: MarkedFilm, by: int, *, quadrants: str = "14") -> MarkedFilm:
    """The same film, teeth of some quadrants named so many places further back."""
    marks = {
        f"{int(name[:2]) + by}{name[2:]}" if name[0] in quadrants else name: mark
        for name, mark in film.marks.items()
    }
    return replace(film, marks=marks)


def against(film: MarkedFilm, steps: tuple[int, int]) -> float:
    marked = landmarks_from_marks(film, view(film.view), pixel_mm=PIXEL_MM, receptor=None)
    return widths_against(marked, steps)


def others(film: MarkedFilm) -> list[MarkedFilm]:
    marked = landmarks_from_marks(film, view(film.view), pixel_mm=PIXEL_MM, receptor=None)
    return list(other_numbers(film, marked))


def of_places(film: MarkedFilm, places: str) -> MarkedFilm:
    """The marks of some teeth alone."""
    return replace(
        film, marks={name: mark for name, mark in film.marks.items() if name[1] in places}
    )


def unlike(film: MarkedFilm, sd_mm: float) -> MarkedFilm:
    """Every mark but edges somewhere else, as on crowns and roots of a form no mouth here has."""
    own, marks = np.random.default_rng(3), dict(film.marks)
    for name in [name for name in marks if not name.endswith(("mesial", "distal"))]:
        mark = marks[name]
        assert mark.x_px is not None
        assert mark.y_px is not None
        place = np.array([mark.x_px, mark.y_px]) + own.normal(0.0, sd_mm / PIXEL_MM, 2)
        x_px, y_px = np.clip(place, 0.0, [film.columns, film.rows])
        marks[name] = replace(mark, x_px=float(x_px), y_px=float(y_px))
    return replace(film, marks=marks)


def test_crowns_widths_speak_against_wrong_numbers_and_for_the_right_ones() -> None:
    for steps in ((1, 1), (1, 0), (0, 1)):
        assert against(right(), steps) > 8.0
    assert against(right(), (0, 0)) == 0.0
    assert against(named(right(), 1), (-1, -1)) == pytest.approx(-against(right(), (1, 1)))
    assert abs(against(of_places(right(), "6"), (1, 0))) < 1.0, "molars are alike"
    no_crown = replace(right(), marks={"15.mesial": right().marks["15.mesial"]})
    assert against(no_crown, (1, 1)) == 0.0


def test_other_numbers_are_those_that_widths_allow_with_the_view_they_would_have() -> None:
    assert not others(right())
    back = named(right(), 1)
    assert set(right().marks) in [set(each.marks) for each in others(back)]
    molars = of_places(right(), "6")
    assert molars.view == "right-premolar"
    further = next(each for each in others(molars) if "17.mesial" in each.marks)
    assert further.view == "right-molar"
    told = replace(molars, absent_teeth=(17, 47))
    assert not [each for each in others(told) if {"17.mesial", "47.mesial"} & set(each.marks)]
    last = named(molars, 2)
    assert all(int(name[1]) <= 8 for each in others(last) for name in each.marks)


@pytest.mark.slow
def test_a_film_that_fits_badly_is_doubted_where_other_numbers_fit_and_not_where_none_do() -> None:
    known = packaged_catalogue()
    film = unlike(right(), 0.5)
    assert estimated(film_of(film, known), None, known).misfit > MOST_MISFIT
    assert not unexplained(film, known).is_whole_film
    for quadrants in ("14", "1", "4"):
        told = unexplained(named(film, 1, quadrants=quadrants), known)
        assert told.is_whole_film
        assert told.fits_other_numbers

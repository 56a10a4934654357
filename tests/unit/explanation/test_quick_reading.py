"""A film read after its contacts alone, beside the same film's truth."""

from functools import cache

import numpy as np
import pytest

from bitewright.explanation.correction import Part
from bitewright.explanation.quick_reading import QuickReading, quick_reading
from trials.explained_films import Case, film_of
from trials.judged import estimated
from trials.known_films import KnownFilm
from trials.quick_readings import edge_names, middle_plan, with_marks


@cache
def read(number: int) -> tuple[KnownFilm, QuickReading]:
    """A film by number, by its contacts' edges alone."""
    _, film, *_ = film_of(Case(run=60, number=number))
    few = with_marks(film, edge_names(film))
    found = estimated(few)
    plan = middle_plan(found.films[0].station, few)
    return film, quick_reading(found, plan, generator=np.random.default_rng(0))


@pytest.mark.slow
def test_a_tube_far_off_is_told_its_way_by_twelve_marks_and_none_would_change_it() -> None:
    film, said = read(0)
    needed = film.best.exposure.beam.rays_mouth[0] - film.exposure.beam.rays_mouth[0]
    assert said.first is not None
    assert said.first.part is Part.SWING
    assert np.sign(said.first.needed.value) == np.sign(needed[1])
    assert said.first.needed.low <= said.first.needed.value <= said.first.needed.high
    assert said.is_settled(serves=False)
    assert not said.is_settled(serves=None)


@pytest.mark.slow
def test_marks_that_leave_the_way_open_are_not_called_enough() -> None:
    """Those of film 2 allow a swing either way."""
    _, open_either_way = read(2)
    swing = open_either_way.swing.needed
    assert swing.low < 0.0 < swing.high
    assert open_either_way.chance_same < 0.5
    assert not open_either_way.is_settled(serves=False)

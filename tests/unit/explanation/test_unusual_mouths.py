"""A film is told a direction alone where its marks speak for a mouth beyond the population."""

from dataclasses import replace
from functools import cache

import pytest

from bitewright.estimation.estimate import Estimate
from bitewright.estimation.mouth_shapes import MouthShapes
from bitewright.explanation.unusual_mouths import UNLIKE, unlike
from trials.explained_films import Case, Kind, film_of
from trials.judged import estimated

NUMBER = 2


@cache
def found(kind: Kind) -> Estimate:
    return estimated(film_of(Case(run=960, number=NUMBER, kind=kind))[1])


def test_a_mouth_with_all_spreads_doubled_is_unlike_and_one_of_the_population_is_not() -> None:
    assert unlike(found(Kind.BEYOND))
    assert found(Kind.BEYOND).unlikeness > UNLIKE
    assert not unlike(found(Kind.OUTLINES))
    assert found(Kind.OUTLINES).unlikeness < 0.0


@pytest.mark.parametrize(
    ("unlikeness", "misfit", "told"),
    [(0.5, 1.0, False), (0.7, 1.0, True), (0.5, 1.5, True), (0.7, 0.7, False), (-9.0, 0.0, False)],
)
def test_mouth_and_marks_count_together(*, unlikeness: float, misfit: float, told: bool) -> None:
    usual = found(Kind.OUTLINES)
    assert unlike(replace(usual, unlikeness=unlikeness, misfit=misfit)) is told


def test_in_a_known_mouth_the_marks_misfit_alone_decides() -> None:
    _, film, *_ = film_of(Case(run=960, number=NUMBER))
    known = estimated(film, shapes=MouthShapes.known(film.station.outlines, film.view.region))
    assert known.unlikeness == 0.0
    assert not unlike(replace(known, misfit=1.6))
    assert unlike(replace(known, misfit=1.7))

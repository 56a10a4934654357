"""The fewest films of a visit: no film too many, none too few, and what none shows is said."""

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from bitewright.quality.views import view
from bitewright.visit.fewest_films import FilmToTake, SideOfVisit, fewest_films

NAMES = ("15.distal", "16.mesial", "16.distal", "17.mesial")


def film(of: str, *shares: float) -> FilmToTake:
    """A film that shows each of some places in a share of ten exposures, the first ones first."""
    shown = np.arange(10)[:, np.newaxis] < 10.0 * np.array(shares)
    plan: Any = SimpleNamespace(view=view(of))
    return FilmToTake(plan=plan, shown={"practised": shown, "learner": shown & (shares[0] > 1.0)})


def chosen(*films: FilmToTake, beyond: int = 0) -> SideOfVisit:
    found = fewest_films(NAMES, films, "practised", beyond=beyond)
    assert found is not None
    return found


def views(of: SideOfVisit) -> list[str]:
    return [each.plan.view.name for each in of.films]


MOLAR = film("right-molar", 0.9, 0.9, 1.0, 1.0)
PREMOLAR = film("right-premolar", 1.0, 1.0, 0.9, 0.3)


def test_one_film_is_enough_where_it_shows_all_and_one_more_is_told_beside_it() -> None:
    found = chosen(PREMOLAR, MOLAR)
    assert views(found) == ["right-molar"]
    assert found.not_shown == ()
    more = chosen(PREMOLAR, MOLAR, beyond=1)
    assert views(more) == ["right-premolar", "right-molar"], "premolars before molars"
    assert more.all_shown("practised").mean() > found.all_shown("practised").mean()
    assert more.places_of(0) == ("15.distal", "16.mesial")


def test_two_films_where_neither_shows_all_and_what_none_shows_is_named() -> None:
    found = chosen(film("right-molar", 0.0, 0.0, 0.9, 0.4), film("right-premolar", 0.9, 1, 0, 0))
    assert views(found) == ["right-premolar", "right-molar"]
    assert found.not_shown == ("17.mesial",)
    assert found.chance_of(0, "practised") == pytest.approx(0.9)
    assert found.all_shown("practised").mean() == pytest.approx(0.9)
    assert found.all_shown("learner").mean() == 0.0


def test_a_film_much_worse_than_another_is_not_taken_for_a_place() -> None:
    found = chosen(film("right-molar", 0.6, 0.9, 1.0, 1.0), PREMOLAR)
    assert len(found.films) == 2, "15 distal in 60% is no match for 100%"


def test_where_nothing_is_shown_there_are_no_films() -> None:
    assert fewest_films(NAMES, [film("right-molar", 0.1, 0.1, 0.0, 0.4)], "practised") is None
    assert fewest_films(NAMES, [], "practised") is None

"""Films that explanations are judged on are such as a mouth has room for."""

import numpy as np
import pytest

from trials import known_films
from trials.explained_films import Case, film_of
from trials.known_films import KnownFilm, slipped_set_up

HAS_NO_ROOM = Case(run=1070, number=18, fault="receptor 5 mm to the front")
"""An upright receptor for premolars that meets the canine there."""


def room_mm(film: KnownFilm) -> float:
    return float(film.exposure.seat.across_gap_mm[0])


def test_no_film_is_taken_where_the_receptor_would_lie_in_the_other_side(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    _, film, _, _ = film_of(Case(run=70, number=46))

    def rooms_mm() -> list[float]:
        set_ups = [slipped_set_up(film.best, np.random.default_rng(seed)) for seed in range(30)]
        return [float(each.exposed(film.station).seat.across_gap_mm[0]) for each in set_ups]

    assert min(rooms_mm()) >= 0.0
    monkeypatch.setattr(known_films, "SLIPS_TRIED", 1)
    assert min(rooms_mm()) < -5.0
    assert film.set_up is not None
    assert film.set_up.exposed(film.station).seat.across_gap_mm[0] == room_mm(film)


def test_a_fault_is_as_large_as_the_mouth_has_room_for(monkeypatch: pytest.MonkeyPatch) -> None:
    _, film, _, _ = film_of(HAS_NO_ROOM)
    assert room_mm(film) >= 0.0
    monkeypatch.setattr(known_films, "FAULT_SHARES", (1.0,))
    _, whole, _, _ = film_of(HAS_NO_ROOM)
    assert room_mm(whole) < -5.0

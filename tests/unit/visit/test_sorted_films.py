"""Films of two patients, two days, twice the same, the wrong side: said and sorted out."""

from dataclasses import replace

import pytest

from bitewright.quality.views import view
from bitewright.visit.film_evidence import FilmOfVisit
from bitewright.visit.sorted_films import TwiceMarkedError, sorted_films
from tests.unit.visit.marked import changed, film, mirrored


def of(one: FilmOfVisit, patient: str | None, day: str | None = "2026-11-29") -> FilmOfVisit:
    return replace(one, marks=replace(one.marks, patient=patient, taken_on=day))


PREMOLAR, MOLAR = film("right-premolar", {"14-15": 0.2}), film("right-molar", {"16-17": 0.3})


def test_two_patients_and_two_days_are_visits_of_their_own() -> None:
    films = [
        of(PREMOLAR, "P-2"),
        of(MOLAR, "P-1"),
        of(film("right-molar", name="b"), "P-2", "2026-11-30"),
    ]
    visits, aside = sorted_films(films)
    assert [(each.patient, each.taken_on) for each in visits] == [
        ("P-1", "2026-11-29"),
        ("P-2", "2026-11-29"),
        ("P-2", "2026-11-30"),
    ]
    assert not aside
    again, _ = sorted_films(films[::-1])
    assert [each.films for each in again] == [each.films for each in visits]


def test_a_film_that_does_not_say_whose_it_is_joins_nobody() -> None:
    visits, aside = sorted_films([of(PREMOLAR, "P-1"), of(MOLAR, None)])
    assert [len(each.films) for each in visits] == [1]
    assert [(each.name, "patient" in each.why) for each in aside] == [("right-molar", True)]


def test_films_that_all_say_nothing_are_taken_as_given() -> None:
    visits, aside = sorted_films([PREMOLAR, MOLAR])
    assert (len(visits), len(visits[0].films), aside) == (1, 2, ())


def test_the_same_film_twice_counts_once() -> None:
    again = replace(PREMOLAR, name="copy")
    visits, aside = sorted_films([PREMOLAR, again])
    assert len(visits[0].films) == 1
    assert aside[0].why == "It is the same film as copy: counted once."


def test_two_readings_of_one_image_are_refused() -> None:
    image = {"image_sha256": "0" * 64}
    one = replace(PREMOLAR, marks=replace(PREMOLAR.marks, **image))
    moved = changed(replace(one, name="other reader"), {"14.distal": None})
    with pytest.raises(TwiceMarkedError, match="other reader and right-premolar"):
        sorted_films([one, moved])


def test_a_film_of_the_other_side_is_set_aside_with_its_reason() -> None:
    left = mirrored(MOLAR)
    wrong = replace(
        MOLAR,
        name="wrong",
        view=view("right-molar"),
        marks=replace(
            MOLAR.marks,
            marks={
                name: replace(mark, x_px=None if mark.x_px is None else 1400 - mark.x_px)
                for name, mark in MOLAR.marks.marks.items()
            },
        ),
    )
    visits, aside = sorted_films([PREMOLAR, left, wrong])
    assert len(visits[0].films) == 2
    assert aside[0].name == "wrong"
    assert "on the wrong side" in aside[0].why

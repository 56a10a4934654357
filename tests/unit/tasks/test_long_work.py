"""Long work tells how far it is, and ends where it is told to."""

import pytest

from bitewright.files.film_cache import read_film_mouth
from bitewright.film.film_mouth import film_mouth, film_mouth_steps
from bitewright.quality.views import view
from bitewright.steps import StoppedError
from bitewright.tasks import long_work
from bitewright.tasks.film.film_mouths import film_key, station_film_mouth
from bitewright.tasks.long_work import LongWork, end_all_work
from tests.scenes import outlines_of, station_of


def test_steps_are_counted_as_they_begin() -> None:
    work = LongWork("The mouth")
    assert work.document()["state"] == "waiting"
    work.expect(3)
    work.begin("tooth 16")
    work.begin("tooth 17")
    told = work.document()
    assert (told["state"], told["doing"], told["done"], told["of"]) == ("working", "tooth 17", 1, 3)
    work.finish()
    assert work.document() | {"state": "done", "done": 3} == work.document()


def test_stopped_work_ends_at_its_next_step_until_it_is_allowed_again() -> None:
    work = LongWork("The mouth")
    work.stop()
    for _ in range(2):
        with pytest.raises(StoppedError, match="The mouth was stopped"):
            work.begin("tooth 16")
    assert work.document()["state"] == "stopped"
    work.allow()
    work.begin("tooth 16")
    assert work.document()["state"] == "working"


def test_all_work_ends_and_none_begins_anew(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(long_work, "_ENDED", type(long_work._ENDED)())
    early = LongWork("The early one")
    end_all_work()
    late = LongWork("The late one")
    late.allow()
    for work in (early, late):
        with pytest.raises(StoppedError):
            work.begin("anything")


@pytest.mark.slow
def test_a_film_mouth_tells_every_step_it_said_it_has() -> None:
    outlines, region = outlines_of(), view("right-premolar").region
    told: list[str] = []
    film_mouth(outlines, region, begin=told.append)
    assert len(told) == film_mouth_steps(outlines, region)
    assert told[0] == "tooth 17"
    assert "bone and gum" in told


@pytest.mark.usefixtures("no_films_kept")
def test_a_stopped_film_mouth_is_not_kept() -> None:
    told = iter(range(3))

    class StopsAtTheThird(LongWork):
        def begin(self, doing: str) -> None:
            if next(told, None) is None:
                self.stop()
            super().begin(doing)

    work = StopsAtTheThird("The mouth")
    with pytest.raises(StoppedError):
        station_film_mouth(station_of(), work.begin)
    assert work.document()["state"] == "stopped"
    assert read_film_mouth(film_key(station_of(), "whole")) is None

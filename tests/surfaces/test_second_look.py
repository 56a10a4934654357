"""A second look at a film sees what a person marks, once a film, and nothing of another side."""

import json
from dataclasses import replace
from importlib.resources import files

import numpy as np
import pytest

from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.errors import ExtraMissingError
from bitewright.files.marks_file import marks_from_document
from bitewright.quality.views import view
from bitewright.tasks import second_look as module
from bitewright.tasks.assess.decoded_film import DecodedFilm, decode_film
from bitewright.tasks.assess.taken_film import TakenFilm, taken_film

SAMPLE = files("bitewright.web") / "static/light_box"


@pytest.fixture
def film() -> DecodedFilm:
    """The light box's sample, which the network never learnt from; nothing of it is kept yet."""
    module._kept.clear()
    return decode_film((SAMPLE / "sample.png").read_bytes(), name="sample.png")


@pytest.fixture
def taken() -> TakenFilm:
    content = json.loads((SAMPLE / "sample.marks").read_text(encoding="utf-8"))
    return taken_film(marks_from_document(content), packaged_catalogue())


def test_what_a_person_marks_is_seen_where_it_was_marked(
    film: DecodedFilm, taken: TakenFilm
) -> None:
    places = module.second_look(film, taken)
    pixel_mm = taken.marks.pixel_mm or 0.0
    off_mm = [
        float(np.hypot(seen.x_mm - pixel_mm * mark.x_px, seen.y_mm - pixel_mm * mark.y_px))
        for name, seen in places.items()
        if (mark := taken.marks.marks.get(name)) and mark.x_px is not None and mark.y_px is not None
    ]
    assert len(off_mm) >= 20
    assert np.median(off_mm) < 0.3
    assert max(off_mm) < 2.0


def test_a_film_is_looked_at_once_and_never_as_another_sides(
    film: DecodedFilm, taken: TakenFilm, monkeypatch: pytest.MonkeyPatch
) -> None:
    looks = []
    look = module.film_read
    monkeypatch.setattr(module, "film_read", lambda *given: looks.append(given) or look(*given))
    assert module.second_look(film, taken) is module.second_look(film, taken)
    assert len(looks) == 1
    assert taken.view.name.startswith("right")
    other = replace(taken, view=view(taken.view.name.replace("right", "left")))
    assert module.second_look(film, other) == {}


def test_nothing_is_seen_where_the_network_is_not_installed(
    film: DecodedFilm, taken: TakenFilm, monkeypatch: pytest.MonkeyPatch
) -> None:
    def missing(*_: object) -> None:
        raise ExtraMissingError("Proposed marks", ["onnxruntime"], extra="propose")

    monkeypatch.setattr(module, "film_read", missing)
    assert module.second_look(film, taken) == {}

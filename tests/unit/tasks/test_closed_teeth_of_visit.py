"""Which missing teeth's spaces have closed, as the films of a visit have it together."""

from dataclasses import replace
from types import SimpleNamespace

import pytest

from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.estimation.exposure_unknowns import NAMES
from bitewright.estimation.mouth_belief import MouthBelief, population
from bitewright.estimation.mouth_shapes import MouthShapes
from bitewright.marking.marks import Mark
from bitewright.marking.simulated_marker import true_marks
from bitewright.mouth.numbering import Side
from bitewright.quality.predicted import asked, predict
from bitewright.quality.views import view
from bitewright.steps import unwatched
from bitewright.tasks.assess import estimate_visit
from bitewright.tasks.assess.estimate_visit import estimate_learned
from bitewright.tasks.assess.taken_film import TakenFilm
from bitewright.tasks.assess.visit_films import (
    closed_teeth_of_visit,
    further_film,
    teeth_of_visit,
)
from bitewright.tasks.catalogue.named import named_equipment
from bitewright.tasks.visit.mouth_of_visit import mouth_of_visit
from bitewright.visit.film_evidence import FilmOfVisit
from tests.scenes import station_in
from tests.unit.closed_spaces import closed_mouth, swung
from tests.unit.visit.marked import changed, film

USUAL = named_equipment(
    packaged_catalogue(), receptor="plate-2", holder="ring-holder", tube="rectangular-300"
)
TAKEN_OUT = (14, 24, 34, 44)
SPACE = {"14.distal": Mark(x_px=800.0, y_px=400.0), "16.mesial": Mark(x_px=805.0, y_px=400.0)}


def premolar_film() -> FilmOfVisit:
    """Without 15, whose space has closed."""
    return changed(film("right-premolar", absent=(15,)), SPACE)


def test_a_space_closed_on_one_film_is_closed_in_the_visit() -> None:
    receptor = packaged_catalogue().receptor("plate-2")
    molar = film("right-molar", absent=(15, 46))
    taken = [
        further_film(TakenFilm(marks=each.marks, view=each.view, receptor=None), receptor)
        for each in (molar, premolar_film())
    ]
    assert closed_teeth_of_visit(taken) == (15,)
    assert closed_teeth_of_visit(taken[:1]) == ()


def test_what_is_believed_of_a_visits_mouth_has_its_closed_spaces() -> None:
    """Also where marks are too few to learn from."""
    few = premolar_film()
    few = changed(few, {name: None for name in few.marks.marks if name not in SPACE})
    believed = mouth_of_visit([few], Side.RIGHT, USUAL)
    assert believed.closed == (15,)
    assert (14, 16) in believed.mouth().contacts


def test_what_earlier_films_showed_closed_stays_so(monkeypatch: pytest.MonkeyPatch) -> None:
    """The next film, which does not show the space, would be estimated in a row that keeps it."""
    asked_of: list[MouthBelief] = []

    def seen(_films: object, shapes: MouthShapes, belief: MouthBelief, **_: object) -> object:
        assert 15 not in shapes.outlines.mouth.teeth
        asked_of.append(belief)
        return SimpleNamespace(belief=lambda believed: believed)

    monkeypatch.setattr(estimate_visit, "estimate_with_lost_bone", seen)
    films = [
        further_film(
            TakenFilm(
                marks=film("right-molar", absent=(15,)).marks,
                view=view("right-molar"),
                receptor=None,
            ),
            USUAL.receptor,
        )
    ]
    before = replace(population(teeth_of_visit(films)), closed=(15,))
    _, after = estimate_learned(films, before, USUAL.holder, USUAL.tube, begin=unwatched)
    assert [each.closed for each in asked_of] == [(15,)]
    assert after.closed == (15,)


@pytest.mark.slow
def test_a_film_of_a_closed_row_fits_a_mouth_whose_row_is_closed() -> None:
    """Four premolars taken out; believed to be kept, their spaces turn the tube."""
    by = USUAL
    of_view, at = view("right-premolar"), station_in(closed_mouth(*TAKEN_OUT), receptor="plate-2")
    seen = predict(swung(at, -12.0), asked(of_view, at))
    marks = true_marks(
        seen.landmarks, of_view, pixel_mm=0.03, image_name="film.png", receptor="plate-2"
    )
    marks = replace(marks, absent_teeth=TAKEN_OUT[::3])
    taken = TakenFilm(marks=marks, view=of_view, receptor=by.receptor)
    films = [further_film(taken, by.receptor)]
    closed = closed_teeth_of_visit(films)
    assert closed == (14, 44)
    found, kept = (
        estimate_learned(films, None, by.holder, by.tube, begin=unwatched, closed=each)[0]
        for each in (closed, ())
    )
    azimuth = NAMES.index("azimuth_deg")
    true_deg = -12.0
    assert abs(found.unknowns[0, azimuth] - true_deg) < 5.0
    assert abs(kept.unknowns[0, azimuth] - true_deg) > 5.0
    assert found.misfit < kept.misfit

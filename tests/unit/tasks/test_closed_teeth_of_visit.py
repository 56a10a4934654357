"""Which missing teeth's spaces have closed, as the films of a visit have it together."""

from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.marking.marks import Mark
from bitewright.mouth.numbering import Side
from bitewright.tasks.assess.taken_film import TakenFilm
from bitewright.tasks.assess.visit_films import closed_teeth_of_visit, further_film
from bitewright.tasks.catalogue.named import named_equipment
from bitewright.tasks.visit.mouth_of_visit import mouth_of_visit
from bitewright.visit.film_evidence import FilmOfVisit
from tests.unit.visit.marked import changed, film

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
    by = named_equipment(
        packaged_catalogue(), receptor="plate-2", holder="ring-holder", tube="rectangular-300"
    )
    believed = mouth_of_visit([few], Side.RIGHT, by)
    assert believed.closed == (15,)
    assert (14, 16) in believed.mouth().contacts

"""Where a missing tooth's space has closed, the teeth beside it are asked for as a contact."""

from dataclasses import replace

import numpy as np
import pytest

from bitewright.mouth.mouth import Contact
from bitewright.mouth.mouth_description import MOUTH_FORMAT, mouth_from_description
from bitewright.mouth.standard_mouth import standard_mouth
from bitewright.quality.closed_spaces import across_missing, closed_spaces
from bitewright.quality.criteria import Question
from bitewright.quality.predicted import asked, predict
from bitewright.quality.questions import needs
from bitewright.quality.rating import ContactState
from bitewright.quality.rating_schemes import rating_scheme
from bitewright.quality.views import view
from bitewright.quality.wanted import wanted
from tests.scenes import station_in
from tests.unit.closed_spaces import closed_mouth, swung

PREMOLAR, MOLAR = view("right-premolar"), view("right-molar")


def test_a_space_has_closed_where_the_mouth_has_a_contact_across_it() -> None:
    assert closed_spaces(standard_mouth()) == ()
    assert closed_spaces(closed_mouth(14, 34)) == ((13, 15), (33, 35))
    assert closed_spaces(closed_mouth(45, 46)) == ((44, 47),)
    assert closed_spaces(closed_mouth(12, 17)) == (), "nothing in front of the canine, or behind"


def test_a_space_that_is_kept_or_wide_has_not_closed() -> None:
    kept = mouth_from_description({"format": MOUTH_FORMAT, "absent": [14]})
    assert closed_spaces(kept) == ()
    for gap_mm, found in ((1.9, ((13, 15),)), (2.1, ())):
        contacts = {(13, 15): Contact(facet_width_mm=1.0, gap_mm=gap_mm)}
        assert closed_spaces(replace(closed_mouth(14), contacts=contacts)) == found


def test_teeth_across_missing_ones_are_found_by_quadrant() -> None:
    assert across_missing([11, 13, 15, 16, 23, 24, 34, 37]) == ((13, 15), (34, 37))


def test_a_closed_space_is_a_contact_in_place_of_two_gap_surfaces() -> None:
    teeth = [13, 15, 16, 17, 43, 44, 45, 47]
    of = wanted(PREMOLAR, teeth, [(13, 15), (45, 47)])
    assert of.contacts == ((13, 15), (15, 16), (43, 44), (44, 45), (45, 47))
    assert of.crest_sites == of.contacts
    assert of.gap_surfaces == ()
    of = wanted(MOLAR, teeth, [(13, 15), (45, 47)])
    assert of.contacts == ((15, 16), (16, 17), (45, 47)), "once, and not the canine's"
    half = wanted(MOLAR, teeth)
    assert half.gap_surfaces == ("45.distal", "47.mesial"), "as before where it is open"


def test_what_is_needed_stays_what_it_was_beside_the_gap() -> None:
    """The canine's own side is ideal only, the premolar's is needed."""
    of = wanted(PREMOLAR, [13, 15, 16, 43, 44, 45, 46], [(13, 15)])
    open_yet = wanted(PREMOLAR, [13, 15, 16, 43, 44, 45, 46])
    for question in (Question.ENAMEL, Question.BOTH):
        assert needs(question, of).surfaces == needs(question, open_yet).surfaces
    assert "15.mesial" in needs(Question.ENAMEL, of).surfaces
    assert "13.distal" not in needs(Question.ENAMEL, of).surfaces


@pytest.mark.parametrize("missing", [(14, 44), ()])
def test_a_film_that_shuts_the_closed_space_fails_like_any_other(missing: tuple[int, ...]) -> None:
    """With the tube so far off every contact of a whole row is shut: so is the one that closed."""
    at = station_in(closed_mouth(*missing))
    seen = predict(swung(at, -20.0), asked(PREMOLAR, at))
    contacts = seen.measurements.wanted.contacts
    column = contacts.index((13, 15) if missing else (14, 15))
    assert seen.rating.states[0, column] == ContactState.UNREADABLE
    good = predict(swung(at, 0.0), asked(PREMOLAR, at))
    assert good.rating.states[0, column] != ContactState.UNREADABLE
    assert np.isfinite(good.measurements.overlap_mm).all()
    scheme = rating_scheme("uk-2020")
    assert seen.rating.grade(scheme) == [scheme.grades["some_failed"]]

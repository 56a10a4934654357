"""How sure each contact's state is, of marks whose overlap is known."""

import numpy as np
import pytest
from scipy.stats import norm

from bitewright.marking.assess import Assessment, assess
from bitewright.marking.marked_landmarks import MAGNIFICATION
from bitewright.marking.marks import Mark, MarkedFilm
from bitewright.mouth.tooth_forms import tooth_form
from bitewright.quality.criteria import Question
from bitewright.quality.views import view

PIXEL_MM = 0.025
SIZE_PX = (1640, 1240)


def assessed(overlap_mm: float, sd_mm: float, question: Question = Question.ENAMEL) -> Assessment:
    """One contact of the right side, overlapped by so much on the receptor."""
    behind = 900.0 + overlap_mm / PIXEL_MM
    film = MarkedFilm(
        image_name="film.png",
        columns=SIZE_PX[0],
        rows=SIZE_PX[1],
        view="right-premolar",
        mark_sd_mm=sd_mm,
        marks={
            "44.mesial": Mark(x_px=1180.0, y_px=800.0),
            "44.distal": Mark(x_px=900.0, y_px=800.0),
            "45.mesial": Mark(x_px=behind, y_px=800.0),
            "45.distal": Mark(x_px=behind - 280.0, y_px=800.0),
        },
    )
    return assess(film, view("right-premolar"), pixel_mm=PIXEL_MM, question=question)


@pytest.mark.parametrize("overlap_mm", [0.05, 0.3, 0.7, 1.4])
@pytest.mark.parametrize("question", [Question.ENAMEL, Question.DENTINE])
def test_states_are_as_likely_as_the_overlap_lies_between_their_limits(
    overlap_mm: float, question: Question
) -> None:
    """Open up to 0.1 mm; unreadable beyond half the thinner enamel, or beyond all of it."""
    found = assessed(overlap_mm, 0.2, question)
    column = found.wanted.contacts.index((44, 45))
    contact, chance = found.contacts[column], found.chances[column]
    assert contact.overlap_mm == pytest.approx(overlap_mm / MAGNIFICATION)
    assert contact.overlap_sd_mm == pytest.approx(0.2 * np.sqrt(2) / MAGNIFICATION, rel=0.02)
    enamel = min(tooth_form(code).enamel_contact_mm for code in (44, 45))
    limit = enamel * (0.5 if question is Question.ENAMEL else 1.0)
    overlap = norm(contact.overlap_mm, contact.overlap_sd_mm)
    assert chance is not None
    assert chance.open == pytest.approx(overlap.cdf(0.1))
    assert chance.unreadable == pytest.approx(overlap.sf(limit))
    assert chance.slight == pytest.approx(1.0 - chance.open - chance.unreadable)


def test_contacts_without_marks_have_no_chances() -> None:
    found = assessed(0.3, 0.2)
    assert sum(chance is not None for chance in found.chances) == 1
    assert len(found.chances) == len(found.wanted.contacts) > 1

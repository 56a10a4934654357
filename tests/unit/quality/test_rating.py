"""Rating: outcomes, states and grades from measurements made by hand."""

from dataclasses import replace

import numpy as np
import pytest

from bitewright.exposing.landmarks import Status
from bitewright.quality.criteria import CriterionName, Question
from bitewright.quality.measure import Measurements
from bitewright.quality.questions import (
    NamedQuestion,
    NamedSurfacesError,
    SurfaceNotInViewError,
)
from bitewright.quality.rating import ContactState, Outcome, Rating, rate
from bitewright.quality.rating_schemes import UnknownSchemeError, rating_scheme
from bitewright.quality.views import UnknownViewError, view
from bitewright.quality.wanted import wanted

VIEW = view("right-premolar")
WANTED = wanted(VIEW, [13, 14, 15, 16, 43, 44, 45, 46])
CONTACTS = len(WANTED.contacts)


def good(**changes: object) -> Measurements:
    """Measurements of one film on which everything is as it should be."""
    plain = Measurements(
        wanted=WANTED,
        overlap_mm=np.zeros((1, CONTACTS)),
        enamel_share=np.zeros((1, CONTACTS)),
        contact_margin_mm=np.full((1, CONTACTS), 5.0),
        contact_status=np.full((1, CONTACTS), Status.SEEN, dtype=np.int8),
        front_margin_mm=np.full((1, 2), 4.0),
        last_margin_mm=np.zeros((1, 0)),
        gap_margin_mm=np.zeros((1, len(WANTED.gap_surfaces))),
        crest_clearance_mm=np.full((1, 12), 3.0),
        occlusal_slope_deg=np.zeros(1),
        occlusal_offset_mm=np.zeros(1),
        closure_mm=np.zeros(1),
        beam_margin_mm=np.zeros((1, 0)),
        gone={name: np.array([Status.SEEN], dtype=np.int8) for name in WANTED.names},
        sd={},
    )
    return replace(plain, **changes)


def outcome(rating: Rating, name: CriterionName) -> Outcome:
    """Outcome of one criterion."""
    return Outcome(int(rating.outcomes[0, rating.names.index(name)]))


def one_overlap(mm: float, enamel_mm: float = 1.25) -> Measurements:
    """One contact overlapped, the others open."""
    overlap = np.zeros((1, CONTACTS))
    overlap[0, 2] = mm
    return good(overlap_mm=overlap, enamel_share=overlap / enamel_mm)


def test_a_faultless_film_meets_every_criterion() -> None:
    rating = rate(good())
    assert set(rating.outcomes[0]) == {Outcome.MET, Outcome.NOT_ASKED}
    assert rating.grade(rating_scheme("uk-2020")) == ["A"]
    assert rating.grade(rating_scheme("uk-2001")) == ["1"]


@pytest.mark.parametrize(
    ("overlap_mm", "question", "state", "found"),
    [
        (0.10, Question.ENAMEL, ContactState.OPEN, Outcome.MET),
        (0.11, Question.ENAMEL, ContactState.READABLE, Outcome.SHORT),
        (0.62, Question.ENAMEL, ContactState.READABLE, Outcome.SHORT),
        (0.63, Question.ENAMEL, ContactState.UNREADABLE, Outcome.FAILED),
        (0.63, Question.DENTINE, ContactState.READABLE, Outcome.SHORT),
        (1.26, Question.DENTINE, ContactState.UNREADABLE, Outcome.FAILED),
        (3.00, Question.BONE, ContactState.READABLE, Outcome.SHORT),
        (-0.4, Question.ENAMEL, ContactState.OPEN, Outcome.MET),
    ],
)
def test_contact_states_at_the_published_limits(
    overlap_mm: float, question: Question, state: ContactState, found: Outcome
) -> None:
    """Half the enamel: Sewerin 1981. Enamel 1.25 mm."""
    rating = rate(one_overlap(overlap_mm), question=question)
    assert rating.states[0, 2] == state
    assert outcome(rating, CriterionName.CONTACTS_OPEN) == found


def test_partial_overlap_alone_does_not_fail_a_film() -> None:
    """Wenzel 2004: partial overlap should not by itself cause a retake."""
    rating = rate(one_overlap(0.4))
    assert rating.grade(rating_scheme("uk-2020")) == ["A"]
    assert rating.grade(rating_scheme("uk-2001")) == ["2"]


def contact_off(column: int) -> Measurements:
    """One contact off the image, all else as it should be."""
    margin = np.full((1, CONTACTS), 5.0)
    margin[0, column] = -1.0
    status = np.full((1, CONTACTS), Status.SEEN, dtype=np.int8)
    status[0, column] = Status.OUTSIDE
    overlap = np.zeros((1, CONTACTS))
    overlap[0, column] = np.nan
    return good(contact_margin_mm=margin, contact_status=status, overlap_mm=overlap)


def test_a_contact_off_the_image_fails_once_as_not_shown() -> None:
    rating = rate(contact_off(1))
    assert rating.states[0, 1] == ContactState.NOT_SHOWN
    assert outcome(rating, CriterionName.CONTACTS_SHOWN) == Outcome.FAILED
    assert outcome(rating, CriterionName.CONTACTS_OPEN) == Outcome.MET
    assert rating.grade(rating_scheme("uk-2020")) == ["N"]


def test_the_canines_contact_alone_fails_no_film_taken_for_caries() -> None:
    rating = rate(contact_off(0))
    assert WANTED.contacts[0] == (13, 14)
    assert outcome(rating, CriterionName.CONTACTS_SHOWN) == Outcome.SHORT
    assert rating.grade(rating_scheme("uk-2020")) == ["A"]
    assert rating.grade(rating_scheme("uk-2001")) == ["2"]


def test_a_crest_off_the_image_fails_a_film_taken_for_bone_and_none_taken_for_caries() -> None:
    crest = np.full((1, 12), 3.0)
    crest[0, WANTED.crests.index("15.distal.crest")] = -0.5
    measured = good(crest_clearance_mm=crest)
    for question, grade in (
        (Question.ENAMEL, "A"),
        (Question.DENTINE, "A"),
        (Question.BONE, "N"),
        (Question.BOTH, "N"),
        (NamedQuestion(question=Question.RESTORATION, surfaces=("15.distal",)), "N"),
        (NamedQuestion(question=Question.RESTORATION, surfaces=("14.distal",)), "A"),
        (NamedQuestion(question=Question.SURFACE, surfaces=("15.distal",)), "A"),
    ):
        assert rate(measured, question=question).grade(rating_scheme("uk-2020")) == [grade]


def test_the_canines_own_crest_is_ideal_for_bone_too() -> None:
    crest = np.full((1, 12), 3.0)
    crest[0, WANTED.crests.index("43.distal.crest")] = -0.5
    rating = rate(good(crest_clearance_mm=crest), question=Question.BONE)
    assert rating.grade(rating_scheme("uk-2020")) == ["A"]
    crest[0, WANTED.crests.index("44.mesial.crest")] = -0.2
    rating = rate(good(crest_clearance_mm=crest), question=Question.BONE)
    assert rating.grade(rating_scheme("uk-2020")) == ["N"]
    column = rating.names.index(CriterionName.CREST)
    assert WANTED.crests[rating.worst[0, column]] == "44.mesial.crest", "what failed decides"


def test_a_question_about_a_surface_is_about_that_surface_alone() -> None:
    measured = one_overlap(0.9)  # at 15-16
    asked = {
        name: rate(
            measured, question=NamedQuestion(question=Question.SURFACE, surfaces=(name,))
        ).grade(rating_scheme("uk-2020"))
        for name in ("15.distal", "16.mesial", "14.distal", "45.distal")
    }
    assert asked == {
        "15.distal": ["N"],
        "16.mesial": ["N"],
        "14.distal": ["A"],
        "45.distal": ["A"],
    }


def test_a_question_about_surfaces_names_some_that_the_view_shows() -> None:
    with pytest.raises(NamedSurfacesError, match="name at least one"):
        rate(good(), question=Question.RESTORATION)
    with pytest.raises(NamedSurfacesError, match="about no single surfaces"):
        NamedQuestion(question=Question.BONE, surfaces=("15.distal",))
    with pytest.raises(SurfaceNotInViewError, match="give one of 13"):
        rate(good(), question=NamedQuestion(question=Question.SURFACE, surfaces=("17.distal",)))


def test_what_is_not_marked_is_not_guessed() -> None:
    crest = np.full((1, 12), 3.0)
    crest[0, 4] = np.nan
    rating = rate(good(crest_clearance_mm=crest))
    assert outcome(rating, CriterionName.CREST) == Outcome.UNKNOWN
    assert rating.grade(rating_scheme("uk-2020")) == ["A"], "not needed for caries"
    rating = rate(good(crest_clearance_mm=crest), question=Question.BOTH)
    assert rating.grade(rating_scheme("uk-2020")) == ["?"]
    crest[0, 5] = -0.5
    rating = rate(good(crest_clearance_mm=crest), question=Question.BOTH)
    assert outcome(rating, CriterionName.CREST) == Outcome.FAILED
    assert rating.grade(rating_scheme("uk-2020")) == ["N"]


def test_an_unknown_closure_leaves_the_grade_standing() -> None:
    rating = rate(good(closure_mm=np.array([np.nan])))
    assert outcome(rating, CriterionName.CLOSURE) == Outcome.UNKNOWN
    assert rating.grade(rating_scheme("uk-2020")) == ["A"]


def test_level_and_central_count_to_both_sides() -> None:
    for sign in (-1.0, 1.0):
        rating = rate(
            good(occlusal_slope_deg=np.array([sign * 7.0]), occlusal_offset_mm=np.array([sign * 4]))
        )
        assert outcome(rating, CriterionName.LEVEL) == Outcome.SHORT
        assert outcome(rating, CriterionName.CENTRAL) == Outcome.SHORT


def test_a_view_asks_only_for_teeth_that_are_there() -> None:
    few = wanted(VIEW, [13, 14, 16, 43, 44, 45, 46])
    assert (14, 15) not in few.contacts
    assert (44, 45) in few.contacts
    molar = wanted(view("right-molar"), [15, 16, 17, 45, 46, 47, 48])
    assert (47, 48) in molar.contacts
    assert molar.last_surfaces == ("17.distal", "48.distal")


def test_surfaces_beside_a_missing_tooth_are_asked_for() -> None:
    gap = wanted(view("right-molar"), [14, 15, 16, 17, 44, 45, 47])
    assert gap.gap_surfaces == ("45.distal", "47.mesial")
    assert {"45.distal.crest", "47.mesial.crest"} <= set(gap.crests)
    assert gap.last_surfaces == ("17.distal", "47.distal")
    short = wanted(view("right-premolar"), [13, 14, 15, 43, 44, 45])
    assert short.gap_surfaces == ("15.distal", "45.distal")
    assert wanted(view("right-molar"), [14, 15, 16, 17, 44, 45, 46, 47]).gap_surfaces == ()


def test_a_surface_beside_a_gap_that_is_off_the_image_fails_a_film_taken_for_caries() -> None:
    want = wanted(view("right-molar"), [15, 16, 17, 45, 47])
    contacts = len(want.contacts)
    measured = good(
        wanted=want,
        overlap_mm=np.zeros((1, contacts)),
        enamel_share=np.zeros((1, contacts)),
        contact_margin_mm=np.full((1, contacts), 5.0),
        contact_status=np.full((1, contacts), Status.SEEN, dtype=np.int8),
        front_margin_mm=np.zeros((1, 0)),
        last_margin_mm=np.full((1, 2), -2.0),
        gap_margin_mm=np.array([[3.0, -0.5]]),
        crest_clearance_mm=np.full((1, len(want.crests)), 3.0),
        gone={name: np.array([Status.SEEN], dtype=np.int8) for name in want.names},
    )
    rating = rate(measured)
    assert outcome(rating, CriterionName.GAPS_SHOWN) == Outcome.FAILED
    assert outcome(rating, CriterionName.LAST_DISTAL) == Outcome.SHORT
    assert rating.grade(rating_scheme("uk-2020")) == ["N"]


def test_unknown_names_list_what_there_is() -> None:
    with pytest.raises(UnknownViewError, match="right-premolar"):
        view("right-incisor")
    with pytest.raises(UnknownSchemeError, match="uk-2020"):
        rating_scheme("mars-2040")

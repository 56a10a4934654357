"""How sure each contact's state is, of marks whose overlap is known."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import gamma, norm

from bitewright.exposing.landmarks import Status
from bitewright.marking.assess import Assessment, assess
from bitewright.marking.film_overlaps import overlap_kinds
from bitewright.marking.marked_landmarks import MAGNIFICATION, MARK_SD_MM
from bitewright.marking.marks import Mark, MarkedFilm, MarkedFilmError, MarkStatus
from bitewright.marking.rating_chances import (
    PRIOR,
    DrawnRating,
    StateChance,
    drawn_rating,
    state_chances,
    told_states,
)
from bitewright.marking.visible_places import VISIBLE
from bitewright.mouth.tooth_forms import tooth_form
from bitewright.quality.criteria import CriterionName, Question, criteria
from bitewright.quality.measure import OUTSIDE_MM, Measurements
from bitewright.quality.rating import ContactState, Outcome
from bitewright.quality.rating_schemes import rating_scheme
from bitewright.quality.views import view
from bitewright.words.reasons import reason
from tests.unit.quality.test_rating import good

PIXEL_MM = 0.025
INSIDE_MM = -VISIBLE.edge.outward_mm
"""So far inside itself each crown ends in the picture."""

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


def chances_of(found: Assessment, question: Question = Question.ENAMEL) -> DrawnRating:
    return drawn_rating(found.measurements, question, np.random.default_rng(1))


@pytest.mark.parametrize("overlap_mm", [0.05, 0.3, 0.7, 1.4])
@pytest.mark.parametrize("question", [Question.ENAMEL, Question.DENTINE])
def test_states_are_as_likely_as_the_overlap_lies_between_their_limits(
    overlap_mm: float, question: Question
) -> None:
    """Open up to 0.1 mm; unreadable beyond half the thinner enamel, or beyond all of it.

    The overlap's belief is worked out here on a grid: the mark's normal, times how wide the
    contacts 4-5 of all kinds of film are, times the enamel's own spread.
    """
    found = assessed(overlap_mm, 0.2, question)
    column = found.wanted.contacts.index((44, 45))
    contact = found.contacts[column]
    chance = state_chances(found.contacts, chances_of(found, question))[column]
    assert contact.overlap_mm == pytest.approx((overlap_mm + 2 * INSIDE_MM) / MAGNIFICATION)
    assert contact.overlap_sd_mm == pytest.approx(0.2 * np.sqrt(2) / MAGNIFICATION, rel=0.02)
    enamel = min(tooth_form(code).enamel_contact_mm for code in (44, 45))
    limit = enamel * (0.5 if question is Question.ENAMEL else 1.0)
    kinds = overlap_kinds()
    grid = np.linspace(kinds.least_mm, 4.0, 20001)
    shapes, means = kinds.shapes, kinds.usual_mm[:, 1]
    at_large = gamma(shapes, kinds.least_mm, means / shapes).pdf(grid[:, None]) @ kinds.shares
    belief = norm(contact.overlap_mm, contact.overlap_sd_mm).pdf(grid) * at_large
    belief /= belief.sum()
    too_much = norm(limit, PRIOR.enamel.sd_share * limit).cdf(grid)
    assert chance is not None
    assert chance.open == pytest.approx(belief[grid <= 0.1].sum(), abs=0.04)
    assert chance.unreadable == pytest.approx((belief * too_much).sum(), abs=0.04)
    assert chance.readable == pytest.approx(1.0 - chance.open - chance.unreadable)


def test_contacts_without_marks_have_no_chances() -> None:
    found = assessed(0.3, 0.2)
    chances = state_chances(found.contacts, chances_of(found))
    assert sum(chance is not None for chance in chances) == 1
    assert len(chances) == len(found.wanted.contacts) > 1


def test_a_contact_that_is_rather_readable_is_not_told_as_unreadable() -> None:
    found = assessed(0.72 - 2 * INSIDE_MM, 0.15)
    at = found.wanted.contacts.index((44, 45))
    assert found.contacts[at].state is ContactState.UNREADABLE
    (chance,) = (each for each in state_chances(found.contacts, chances_of(found)) if each)
    for unreadable, state in (
        (0.49, ContactState.NOT_TOLD_FROM_READABLE),
        (0.51, ContactState.UNREADABLE),
    ):
        chances = [None] * len(found.contacts)
        chances[at] = replace(chance, open=0.0, readable=1.0 - unreadable, unreadable=unreadable)
        assert told_states(found.contacts, tuple(chances))[at] is state


@pytest.mark.parametrize(
    ("likely", "state"), [(0.34, ContactState.NOT_TOLD_FROM_OPEN), (0.51, ContactState.OPEN)]
)
def test_a_contact_that_is_rather_not_open_is_not_told_as_open(
    likely: float, state: ContactState
) -> None:
    """Measured as open on a film that is wide elsewhere: its chance decides what it is called."""
    found = assessed(0.05 - 2 * INSIDE_MM, 0.1)
    at = found.wanted.contacts.index((44, 45))
    assert found.contacts[at].state is ContactState.OPEN
    chances: list[StateChance | None] = [None] * len(found.contacts)
    chances[at] = StateChance(open=likely, readable=1.0 - likely, unreadable=0.0)
    assert told_states(found.contacts, tuple(chances))[at] is state


def test_a_contact_that_may_be_open_is_said_not_to_be_told_from_open() -> None:
    for overlap_mm, state in (
        (0.05, ContactState.OPEN),
        (0.2, ContactState.NOT_TOLD_FROM_OPEN),
        (0.55, ContactState.READABLE),
        (1.2, ContactState.UNREADABLE),
    ):
        found = assessed(overlap_mm - 2 * INSIDE_MM, 0.1)
        told = told_states(found.contacts, state_chances(found.contacts, chances_of(found)))
        assert told[found.wanted.contacts.index((44, 45))] is state


def film_of(overlaps_mm: float, sd_mm: float) -> Measurements:
    """Every contact measured as overlapped by so much, all else as it should be."""
    overlap = np.full((1, 6), overlaps_mm)
    return good(
        overlap_mm=overlap,
        enamel_share=overlap / 1.25,
        sd={"overlap_mm": np.full((1, 6), sd_mm)},
    )


def test_a_grade_is_uncertain_over_all_contacts_together() -> None:
    """Six contacts that may each be unreadable leave less hope than one."""
    six = drawn_rating(film_of(0.65, 0.14), Question.ENAMEL, np.random.default_rng(2))
    one = drawn_rating(
        replace(
            film_of(0.0, 0.14),
            overlap_mm=np.array([[0.65, 0.0, 0.0, 0.0, 0.0, 0.65]]),
            enamel_share=np.array([[0.65, 0.0, 0.0, 0.0, 0.0, 0.65]]) / 1.25,
        ),
        Question.ENAMEL,
        np.random.default_rng(2),
    )
    uk = rating_scheme("uk-2020")
    alone = one.grade_chances(uk)["A"]  # the canine's contact comes first and is only ideal
    together = six.grade_chances(uk)["A"]
    assert together < alone - 0.2
    assert sum(six.grade_chances(uk).values()) == pytest.approx(1.0)


def test_a_film_well_within_every_limit_keeps_its_grade_in_every_draw() -> None:
    drawn = drawn_rating(film_of(0.0, 0.02), Question.ENAMEL, np.random.default_rng(3))
    assert drawn.grade_chances(rating_scheme("uk-2020")) == {"A": 1.0}
    assert drawn.all_open > 0.95


def test_a_film_without_uncertainty_is_what_was_measured() -> None:
    measured = replace(film_of(0.9, 0.1), sd={})
    drawn = drawn_rating(measured, Question.DENTINE, np.random.default_rng(4))
    assert drawn.grade_chances(rating_scheme("uk-2020"))["A"] > 0.9


@pytest.mark.parametrize("status", [Status.OUTSIDE, Status.HIDDEN])
def test_a_crest_said_to_lie_just_off_the_image_may_lie_within(status: Status) -> None:
    """By Bayes on a grid: places thin out beyond the edge, a mark is off by its own deviation.

    The model has the crest nearer than the corner of bone that is seen. One that is hidden stays
    hidden.
    """
    crests = film_of(0.0, 0.02).wanted.crests
    column = next(k for k, name in enumerate(crests) if name.startswith("45"))
    plain = film_of(0.0, 0.02)
    clearance = plain.crest_clearance_mm.copy()
    clearance[0, column] = OUTSIDE_MM
    measured = replace(
        plain,
        crest_clearance_mm=clearance,
        gone=plain.gone | {crests[column]: np.array([status], dtype=np.int8)},
        sd=plain.sd | {"crest_clearance_mm": np.where(clearance < 0.0, 0.0, 0.15)},
    )
    drawn = drawn_rating(measured, Question.BONE, np.random.default_rng(5))
    corner = np.linspace(-20.0, 1.5, 40_000)
    likely = np.exp(corner / PRIOR.crest.off_by_mm) * norm.cdf(-corner / MARK_SD_MM)
    within = likely[corner + VISIBLE.crest.rootward_mm >= 0.0].sum() / likely.sum()
    expected = within if status is Status.OUTSIDE else 0.0
    good = drawn.grade_chances(rating_scheme("uk-2020")).get("A", 0.0)
    assert good == pytest.approx(expected, abs=0.02)
    assert 0.05 < within < 0.2


def test_a_crest_is_shown_by_eye_without_its_place_and_nothing_else_is() -> None:
    crests = {
        f"{tooth}.{side}.crest": Mark(status=MarkStatus.SHOWN)
        for tooth, side in (("44", "distal"), ("45", "mesial"))
    }
    film = assessed(0.0, 0.1)
    marks = MarkedFilm(
        image_name="film.png",
        columns=SIZE_PX[0],
        rows=SIZE_PX[1],
        view="right-premolar",
        marks={"44.distal": Mark(x_px=900.0, y_px=800.0), **crests},
    )
    found = assess(marks, view("right-premolar"), pixel_mm=PIXEL_MM)
    column = found.wanted.crests.index("44.distal.crest")
    criterion = criteria()[CriterionName.CREST]
    assert found.measurements.crest_clearance_mm[0, column] == criterion.met
    assert np.isnan(film.measurements.crest_clearance_mm[0, column])
    told = next(each for each in found.findings if each.criterion.name is CriterionName.CREST)
    assert "is seen with bone beyond it" in reason(told)
    with pytest.raises(MarkedFilmError, match=r"44\.distal is 'shown'.*only a bone crest"):
        replace(marks, marks={"44.distal": Mark(status=MarkStatus.SHOWN)})


def test_what_failed_is_told_as_uncertain_where_another_contact_is_not_marked() -> None:
    """One contact near the limit, the others not marked: not failing, all is not known yet."""
    found = assessed(0.72 - 2 * INSIDE_MM, 0.15)
    (opened,) = (
        each for each in found.findings if each.criterion.name is CriterionName.CONTACTS_OPEN
    )
    assert opened.outcome is Outcome.FAILED
    drawn = chances_of(found)
    told = drawn.doubted_anew(opened)
    assert told.doubt is not None
    (chance,) = (each for each in state_chances(found.contacts, drawn) if each)
    assert told.doubt.chance == pytest.approx(1.0 - chance.unreadable)
    assert "Uncertain" in reason(told)
    assert reason(told).endswith("that this does not fail.")

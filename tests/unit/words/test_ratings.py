"""What a film is good for, said with what it does not show."""

from collections.abc import Sequence

import numpy as np

from bitewright.exposing.landmarks import Status
from bitewright.marking.rating_chances import StateChance
from bitewright.quality.criteria import Question
from bitewright.quality.findings import (
    ContactFinding,
    findings,
    needed_not_shown,
    not_shown,
    unreadable_contacts,
)
from bitewright.quality.measure import Measurements
from bitewright.quality.questions import AnyQuestion
from bitewright.quality.rating import ContactState, rate
from bitewright.words.ratings import doubt_words, fitness_words, openness_words, rating_doubt
from tests.unit.quality.test_rating import WANTED, contact_off, good, one_overlap


def said(
    measured: Measurements,
    question: AnyQuestion = Question.ENAMEL,
    unreadable: Sequence[str] = (),
    not_needed: Sequence[str] = (),
) -> str:
    rating = rate(measured, question=question)
    found = findings(measured, rating, question=question)
    return fitness_words(question, found, not_shown(measured), unreadable, not_needed)


def crest_off(name: str) -> Measurements:
    crest = np.full((1, 12), 3.0)
    crest[0, WANTED.crests.index(name)] = -1.0
    plain = good()
    gone = plain.gone | {name: np.array([Status.OUTSIDE], dtype=np.int8)}
    return good(crest_clearance_mm=crest, gone=gone)


def test_a_faultless_film_is_good_for_its_question() -> None:
    assert said(good()) == "Good for caries; everything the view wants is shown."
    assert said(good(), Question.BONE) == (
        "Good for the bone level; everything the view wants is shown."
    )


def test_the_ideal_is_told_apart_from_what_the_question_needs() -> None:
    assert said(crest_off("43.distal.crest")) == "Good for caries; no bone crest at 43 distal."
    assert said(crest_off("45.distal.crest"), Question.BOTH) == (
        "Not good for caries and the bone level: no bone crest at 45 distal."
    )


def test_contacts_that_cannot_be_read_are_named_where_they_are_not_needed_too() -> None:
    off = crest_off("43.distal.crest")
    assert said(off, not_needed=["13-14", "43-44"]) == (
        "Good for caries; 13-14 and 43-44, not needed for it, cannot be read; no bone crest at 43 "
        "distal."
    )


def test_a_contact_that_may_be_readable_and_is_not_needed_is_not_said_to_be_lost() -> None:
    told = fitness_words(Question.ENAMEL, [], [], not_needed_perhaps=["43-44"])
    assert told == (
        "Good for caries; 43-44, not needed for it, perhaps cannot be read; everything the view "
        "wants is shown."
    )


def test_what_nobody_marked_is_not_said_to_be_shown() -> None:
    told = fitness_words(Question.ENAMEL, [], [], not_marked=["43-44", "44.mesial.crest"])
    assert told == (
        "Good for caries; 43-44 and the bone crest at 44 mesial not marked; everything else the "
        "view wants is shown."
    )
    crests = [name for name in WANTED.crests if name.startswith("4")]
    assert fitness_words(Question.ENAMEL, [], ["13.distal"], not_marked=crests) == (
        f"Good for caries; 13 distal not shown; {len(crests)} bone crests not marked."
    )


def test_what_fails_is_named() -> None:
    assert said(one_overlap(0.9)) == "Not good for caries: 15-16 cannot be read."
    assert said(one_overlap(0.9), unreadable=["14-15", "15-16"]) == (
        "Not good for caries: 14-15 and 15-16 cannot be read."
    )
    assert said(contact_off(2)) == "Not good for caries: 15-16 is not shown."


def test_all_that_is_needed_and_not_shown_is_named() -> None:
    """Three contacts were off a film, and one was named."""
    off = contact_off(2)
    rating = rate(off)
    found = findings(off, rating)
    assert fitness_words(
        Question.ENAMEL, found, not_shown(off), needed_missing=["14-15", "15-16", "44.mesial"]
    ) == ("Not good for caries: 14-15 and 15-16 are not shown.")
    plain = good()
    crests = ["14.mesial.crest", "43.distal.crest", "45.distal.crest"]
    gone = np.array([Status.OUTSIDE], dtype=np.int8)
    lost = good(gone=plain.gone | dict.fromkeys(crests, gone))
    assert needed_not_shown(lost, Question.ENAMEL) == ()
    assert needed_not_shown(lost, Question.BONE) == ("14.mesial.crest", "45.distal.crest")


def test_what_a_prediction_cannot_read_is_named_whether_it_is_needed_or_not() -> None:
    overlap, share = np.full((1, 6), 0.9), np.full((1, 6), 0.7)
    wide = good(overlap_mm=overlap, enamel_share=share)
    assert unreadable_contacts(wide, rate(wide), Question.ENAMEL) == (
        ("14-15", "15-16", "44-45", "45-46"),
        ("13-14", "43-44"),
    )


def test_what_is_not_known_names_what_it_lacks() -> None:
    overlap = np.zeros((1, 6))
    overlap[0, 1] = np.nan
    assert said(good(overlap_mm=overlap)) == (
        "Not known whether it is good for caries: it lacks marks on both edges of the contacts."
    )


def test_a_grade_is_doubted_over_all_contacts_and_left_alone_where_it_is_sure() -> None:
    assert rating_doubt("A", {"A": 0.93, "N": 0.07}) is None
    assert rating_doubt("?", {"?": 1.0}) is None
    assert rating_doubt("N", {"N": 0.93, "?": 0.07}) is None
    assert str(rating_doubt("N", {"N": 0.51, "?": 0.49})).endswith(
        "the marks give N a chance of 51%, and leave 49% that more has to be marked to tell."
    )
    assert rating_doubt("A", {"A": 0.71, "N": 0.29}) == (
        "The rating is uncertain: taking all contacts together, and that enamel varies, the marks "
        "give A a chance of 71% and N a chance of 29%."
    )


def test_open_contacts_are_said_to_be_so_as_far_as_marks_can_tell() -> None:
    opened, maybe = ContactState.OPEN, ContactState.NOT_TOLD_FROM_OPEN
    assert openness_words([opened, opened], 0.95) == "Every contact shown is open (chance 95%)."
    assert openness_words([opened, maybe], 0.41) == (
        "As far as marks can tell, each contact shown may be open; the chance that all of them are "
        "at once is 41%."
    )
    assert openness_words([opened, ContactState.READABLE], 0.2) is None


def test_chances_against_a_contacts_figure_say_what_else_they_count() -> None:
    sure = {"A": 0.98, "N": 0.02}

    def told(state: ContactState, unreadable: float) -> str | None:
        chance = StateChance(open=0.0, readable=1.0 - unreadable, unreadable=unreadable)
        contact = ContactFinding(
            name="25-26", overlap_mm=0.8, overlap_sd_mm=0.34, enamel_share=0.61, state=state
        )
        return doubt_words("A", sure, [(contact, chance)])

    assert "At 25-26 the marks by themselves" in str(told(ContactState.UNREADABLE, 0.07))
    assert told(ContactState.UNREADABLE, 0.7) is None
    assert told(ContactState.READABLE, 0.07) is None
    assert doubt_words("A", {"A": 0.71, "N": 0.29}, []) == rating_doubt("A", {"A": 0.71, "N": 0.29})

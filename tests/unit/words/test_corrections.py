"""Corrections in words: every verdict, directions against geometry, nothing ambiguous."""

from dataclasses import replace

import numpy as np
import pytest

from bitewright.explanation.correction import (
    Cause,
    CauseName,
    Correction,
    Estimated,
    HeldApart,
    Need,
    Part,
    Verdict,
)
from bitewright.explanation.doubtful_marks import DoubtfulMark
from bitewright.explanation.film_pattern import FilmPattern, film_pattern
from bitewright.explanation.known_accuracy import known_accuracy
from bitewright.explanation.mark_slips import ContactSlip, MarkSlips
from bitewright.exposing.exposure import Exposures, aimed
from bitewright.exposing.seating import seat
from bitewright.marking.assess import assess
from bitewright.marking.simulated_marker import true_marks
from bitewright.marking.tooth_numbers import NumberedOff
from bitewright.quality.predicted import asked, predict
from bitewright.quality.views import view
from bitewright.words.causes import cause_words
from bitewright.words.corrections import (
    CorrectionWords,
    correction_words,
    operator_sentence,
    teacher_paragraph,
)
from bitewright.words.landmarks import landmark_words
from bitewright.words.movement_rows import movement_row
from bitewright.words.movements import instruction, size
from tests.sample_corrections import (
    RIM_RADIUS_MM,
    Sample,
    correction_of,
    plan_of,
    sample,
    unsure,
)

EVERY = dict.fromkeys(Part, 6.0)


def all_words(words: CorrectionWords) -> str:
    return " ".join([words.operator, words.teacher, *words.causes, *words.doubts])


def rim_middle(exposure: Exposures) -> np.ndarray:
    beam = exposure.beam
    return np.asarray(beam.sources_mouth[0] + beam.end_mm * beam.rays_mouth[0])


@pytest.mark.parametrize("view_name", ["right-premolar", "left-molar", "left-premolar-vertical"])
def test_a_tube_too_far_forward_is_told_to_slide_to_the_back(view_name: str) -> None:
    off = sample(view_name, swing_deg=10)
    incisors = np.array([0.0, 0.0, 0.0])
    was, best = (
        np.linalg.norm(rim_middle(each) - incisors) for each in (off.present, off.plan.exposure)
    )
    assert was < best - 3.0
    sentence = operator_sentence(off.correction)
    assert "slide the tube about 10 mm towards the back of the mouth at the rim" in sentence
    assert "turning it to keep it on the receptor (10 degrees, 8 to 12)" in sentence
    assert "front" not in sentence


def test_a_raised_tube_is_told_to_go_down_and_its_rim_was_higher() -> None:
    off = sample(vertical_deg=8)
    assert rim_middle(off.present)[2] > rim_middle(off.plan.exposure)[2] + 3.0
    assert "lower the tube about 8 mm at the rim, tipping it upwards" in operator_sentence(
        off.correction
    )


def test_a_receptor_too_far_back_is_told_to_go_forward() -> None:
    off = sample(forward_mm=-4)
    middles = [each.seat.centres_mouth[0, 1] for each in (off.present, off.plan.exposure)]
    assert middles[0] > middles[1] + 2.0, "backwards is positive in the mouth"
    sentence = operator_sentence(off.correction)
    assert (
        "about 4 mm further towards the front of the mouth against the teeth (3 to 5)" in sentence
    )


def test_the_twin_of_a_forward_tube_turns_the_receptor_the_way_its_words_say() -> None:
    """A receptor turned with its ring carries the tube where the words say the tube stood."""
    plan = plan_of()
    turned = replace(plan.setting, turn_deg=plan.setting.turn_deg + 8.0)
    seated = seat(plan.station.seating, turned.placement())
    rim = rim_middle(aimed(plan.station, seated, turned.aim()))
    assert np.linalg.norm(rim) < np.linalg.norm(rim_middle(plan.exposure)) - 3.0
    cause = sample(swing_deg=10).correction.causes[0]
    assert cause.name is CauseName.TUBE_TOO_FAR_FORWARD
    assert "turned that much too far towards the opposite canine" in cause_words(cause)


@pytest.mark.parametrize("part", list(Part))
def test_the_opposite_movement_gets_the_mirrored_sentence(part: Part) -> None:
    one, other = (operator_sentence(correction_of({part: amount})) for amount in (6.0, -6.0))
    assert one != other
    if part in (Part.SWING, Part.FORWARD):
        assert one.replace("the front", "the back") == other
    one, other = (said.replace(";", ".") for said in (one, other))
    plain = [figure for figure in one.split() if any(c.isdigit() for c in figure)]
    assert plain == [figure for figure in other.split() if any(c.isdigit() for c in figure)]


def pattern_of(each: Sample) -> FilmPattern:
    """What a film of the sample shows, every landmark marked where it is."""
    shown = predict(each.present, asked(each.plan.view, each.present.station))
    return film_pattern(shown.landmarks, shown.measurements, each.plan)


def test_a_mirrored_film_gets_the_same_words_with_the_other_sides_teeth() -> None:
    right, left = sample("right-premolar", swing_deg=8), sample("left-premolar", swing_deg=8)
    one, other = (
        correction_words(each.correction, pattern=pattern_of(each)) for each in (right, left)
    )
    assert one.operator == other.operator
    codes = {"1": "2", "4": "3"}
    for place in range(1, 9):
        for quadrant, across in codes.items():
            one = replace(
                one, teacher=one.teacher.replace(f"{quadrant}{place}-", f"{across}{place}-")
            )
            one = replace(
                one, teacher=one.teacher.replace(f"-{quadrant}{place}", f"-{across}{place}")
            )
    assert one.teacher == other.teacher


def test_what_says_so_names_the_contacts_and_the_buccal_cusps() -> None:
    forward, back = sample(swing_deg=10), sample(swing_deg=-10)
    one, other = (
        teacher_paragraph(each.correction, pattern=pattern_of(each)) for each in (forward, back)
    )
    assert "the overlap at 15-16" in one
    assert "further to the back in the image against the lingual ones" in one
    assert "the overlap at 43-44" in other
    assert "further to the front in the image against the lingual ones" in other
    assert "look from above" in one
    assert "common practice, no source" in one


def test_without_a_ring_no_ring_is_spoken_of() -> None:
    words = correction_words(sample(swing_deg=10, vertical_deg=6).correction, ring=False)
    assert " ring" not in all_words(words)
    assert "look from above" in words.teacher


def test_nothing_needs_to_move() -> None:
    correction = sample().correction
    assert correction.verdict is Verdict.NOTHING
    words = correction_words(correction)
    assert words.operator.startswith("Nothing needs to move")
    assert words.causes == ()
    assert "degrees" not in all_words(words)


def test_cannot_tell_names_the_marks_that_would_settle_it() -> None:
    told = operator_sentence(unsure(correction_of({}), Part.SWING, value=1.0, spread=6.0))
    assert told == (
        "These marks cannot tell whether the tube should slide towards the front or the back of "
        "the mouth: also mark the mesial edge of 46 at its contact and the tip of the lingual cusp "
        "of 15, and assess again."
    )
    half = operator_sentence(
        unsure(correction_of({Part.FORWARD: 4.0}), Part.SWING, value=1.0, spread=6.0)
    )
    assert half.startswith("Next time, or if another exposure is justified: move the receptor")
    assert half.endswith(told)
    none = replace(unsure(correction_of({}), Part.SWING, value=1.0, spread=6.0), settling_marks=())
    assert "look at receptor, tube and bite block in the mouth" in operator_sentence(none)


def test_a_movement_that_may_be_none_is_only_ever_said_as_perhaps() -> None:
    sure = correction_of({Part.SWING: -7.0})
    for verdict, every in ((Verdict.MOVE, sure), (Verdict.NOTHING, correction_of({}))):
        needed = Estimated(value=-9.0, low=-18.0, high=0.2)
        movements = tuple(
            replace(each, needed=needed, need=Need.PERHAPS) if each.part is Part.VERTICAL else each
            for each in every.movements
        )
        unsure_too = replace(every, movements=movements)
        assert unsure_too.verdict is verdict
        sentence = operator_sentence(unsure_too)
        said = sentence.partition("erhaps")[2]
        assert said.endswith(
            ": lower the tube at the rim, tipping it upwards to keep it on the receptor (up to "
            "18 degrees)."
        )
        assert "Nothing needs to move" not in sentence
        row = movement_row(unsure_too.of(Part.VERTICAL), rim_radius_mm=RIM_RADIUS_MM)
        assert (row.between, row.need) == ("0 and 18 degrees", "perhaps")


def test_small_movements_are_not_mentioned_to_the_operator() -> None:
    sentence = operator_sentence(correction_of({Part.SWING: -7.0, Part.HEIGHT: 0.8}))
    assert "receptor about" not in sentence
    assert sentence.count(";") == 0


def test_a_doubtful_mark_is_said_calmly() -> None:
    doubted = DoubtfulMark(name="15.mesial", chance=0.4)
    correction = replace(correction_of({Part.SWING: 5.0}), doubtful_marks=(doubted,))
    (said,) = correction_words(correction).doubts
    assert said == (
        "The mesial edge of 15 at its contact lies far from where the other marks lead one to "
        "expect it: check its name and place."
    )


def lost() -> Correction:
    """Of marks that have to be put right first: nothing told."""
    every = correction_of(EVERY)
    movements = tuple(replace(each, need=Need.UNSURE) for each in every.movements)
    return replace(
        every,
        verdict=Verdict.CANNOT_TELL,
        movements=movements,
        causes=correction_of({}).causes,
    )


EXCHANGED = MarkSlips(exchanged=(ContactSlip(contact="15-16", space_mm=0.63, exchanged_mm=0.91),))


def test_two_exchanged_marks_are_asked_about_before_anything_is_moved() -> None:
    nothing = operator_sentence(replace(correction_of({}), slips=EXCHANGED))
    assert nothing == (
        "15-16 is marked as a space of 0.63 mm; exchanged, its two marks would be an overlap of "
        "0.91 mm, which fits the others: check them first. As they are marked, nothing would need "
        "to move."
    )
    moving = operator_sentence(replace(correction_of({Part.SWING: 8.0}), slips=EXCHANGED))
    assert moving.startswith("15-16 is marked as a space")
    assert "slide the tube" in moving


@pytest.mark.parametrize(
    ("slips", "said"),
    [
        (
            MarkSlips(wide=(ContactSlip(contact="14-15", space_mm=7.0, exchanged_mm=7.28),)),
            "14-15 is marked as a space of 7.0 mm, nearly a tooth's width",
        ),
        (
            MarkSlips(
                misnumbered=(NumberedOff(codes=(14, 15, 16, 17), likelier=(13, 14, 15, 16)),)
            ),
            "The crowns marked as 14, 15, 16 and 17 are as wide as 13, 14, 15 and 16 usually are",
        ),
    ],
)
def test_marks_that_must_be_put_right_first_let_nothing_be_advised(
    slips: MarkSlips, said: str
) -> None:
    words = correction_words(replace(lost(), slips=slips))
    assert words.operator.startswith(said)
    assert words.operator.endswith("Until that is settled, nothing is advised.")
    assert words.teacher.count(said) == 1
    assert "slide" not in all_words(words)


def test_marks_that_fit_no_mouth_let_nothing_be_advised() -> None:
    words = correction_words(replace(lost(), is_hopeless=True))
    assert words.operator.startswith("These marks fit no exposure that a mouth allows")
    assert words.operator.endswith("nothing is advised.")
    assert "slide" not in all_words(words)


def test_a_receptor_that_the_palate_holds_is_lowered_and_nobody_bites_harder() -> None:
    held = HeldApart(by=Part.HEIGHT, is_sure=True)
    said = operator_sentence(replace(correction_of({Part.HEIGHT: -4.0}), held_by=held))
    assert "set the receptor about 4 mm lower against the teeth" in said
    assert said.endswith(": the palate held it there, so that the teeth could not close.")
    assert "have the teeth close" not in said


def test_the_rim_is_asked_after_and_the_answer_decides() -> None:
    swing = correction_of({Part.SWING: -10.0})
    asked, flush, off = (
        correction_words(swing, ring=True, rim_flush=answer) for answer in (None, True, False)
    )
    assert asked.operator.endswith(
        "Was the tube's rim flush with its ring? Then turn the receptor instead, its ring and the "
        "tube with it."
    )
    assert "turn the receptor's front end about 10 degrees towards the teeth" in flush.operator
    assert "slide the tube" not in flush.operator
    assert "slide the tube about 10 mm towards the back" in off.operator
    assert "receptor" not in off.causes[0]
    assert "the tube stood" not in flush.causes[0]
    assert "?" not in flush.operator + off.operator
    assert "rim" not in correction_words(swing, ring=False).operator.replace("at the rim", "")


def test_a_mouth_unlike_those_it_was_made_for_gets_a_direction_and_no_figure() -> None:
    every = replace(correction_of(EVERY), is_unlike=True, misfit=4.0)
    words = correction_words(every)
    alone = "the way to move is likely, how far cannot be told."
    assert alone in words.operator
    assert not any(letter.isdigit() for letter in words.operator + " ".join(words.causes))
    assert "slide the tube towards the front of the mouth at the rim, turning" in words.operator
    assert "the tube stood too far towards the back of the mouth" in " ".join(words.causes)
    assert words.doubts[-1].startswith(
        "Taken together, marks or teeth lie further off than those the estimate was made for"
    )
    assert not any(letter.isdigit() for letter in words.doubts[-1])
    assert "nine times in ten" not in words.teacher
    assert "  " not in all_words(words)
    row = movement_row(every.of(Part.SWING), rim_radius_mm=RIM_RADIUS_MM, how_far=False)
    assert (row.about, row.between) == ("to the front", "cannot be told")


def test_what_nobody_marked_is_no_evidence() -> None:
    """Contacts without both edges, and cusps without their opposite, are not pointed at."""
    off = sample(swing_deg=10)
    shown = predict(off.present, asked(off.plan.view, off.present.station))
    film = true_marks(
        shown.landmarks, off.plan.view, pixel_mm=0.02, image_name="film", receptor="sensor-2"
    )
    two = {name: film.marks[name] for name in ("15.distal", "16.mesial")}
    few = assess(replace(film, marks=two), off.plan.view, pixel_mm=0.02)
    pattern = film_pattern(few.landmarks, few.measurements, off.plan)
    (contact,) = pattern.contacts
    (of_all,) = (each for each in pattern_of(off).contacts if each.name == "15-16")
    assert contact.name == "15-16"
    assert contact.overlap_mm == pytest.approx(of_all.overlap_mm, abs=0.05)
    said = teacher_paragraph(off.correction, pattern=pattern)
    assert "What says so, as marked: the overlap at 15-16" in said
    assert "cusps" not in said


@pytest.mark.parametrize(
    ("margin", "said"),
    [(-2.2, "take a tube with a larger field"), (0.8, "still covers"), (3.0, None)],
)
def test_a_cone_cut_is_warned_of(margin: float, said: str | None) -> None:
    sentence = operator_sentence(replace(correction_of({Part.SWING: 5.0}), beam_margin_mm=margin))
    assert ("larger field" in sentence or "still covers" in sentence) == bool(said)
    assert said is None or said in sentence


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("15.mesial", "the mesial edge of 15 at its contact"),
        ("46.distal.crest", "the bone crest distal to 46"),
        ("13.tip.cusp", "the cusp tip of 13"),
        ("12.edge.cusp", "the middle of the edge of 12"),
        ("16.mesiobuccal.cusp", "the tip of the mesiobuccal cusp of 16"),
    ],
)
def test_marks_have_the_trades_words(name: str, words: str) -> None:
    assert landmark_words(name) == words


@pytest.mark.parametrize(
    ("value", "unit", "wanted"),
    [(2.2, "mm", 2.0), (2.3, "mm", 2.5), (2.9, "mm", 3.0), (-3.6, "mm", 4.0), (6.5, "deg", 7.0)],
)
def test_figures_are_what_a_hand_can_set(value: float, unit: str, wanted: float) -> None:
    assert size(value, unit) == wanted


def test_rounding_never_puts_a_value_outside_its_interval() -> None:
    sizes = [size(value, "mm") for value in np.linspace(0.0, 12.0, 2401)]
    assert sizes == sorted(sizes)


def test_a_missing_rim_is_the_chord_of_the_turn() -> None:
    given = correction_of({Part.SWING: -7.0}).of(Part.SWING)
    bare = replace(given, rim=None)
    assert instruction(bare, rim_radius_mm=RIM_RADIUS_MM) == instruction(
        given, rim_radius_mm=RIM_RADIUS_MM
    )


@pytest.mark.parametrize(
    "correction",
    [
        correction_of(EVERY),
        correction_of(dict.fromkeys(Part, -6.0)),
        correction_of({}),
        unsure(correction_of(EVERY), Part.SWING, value=0.0, spread=5.0),
    ],
)
def test_no_sentence_speaks_of_angles_to_mesial_or_blames(correction: Correction) -> None:
    words = all_words(correction_words(correction)).lower()
    assert "mesial angle" not in words
    assert "distal angle" not in words
    assert not {"you", "your", "wrong", "mistake", "fault", "failed"} & set(
        words.replace(",", " ").replace(".", " ").split()
    )
    assert "_" not in words
    assert words.count("  ") == 0
    operator = operator_sentence(correction)
    # One movement first, then the others; where something cannot be told, that after it.
    moves = [each for each in correction.movements if each.need is Need.MOVE]
    assert operator.count(". ") == (len(moves) > 1) + (correction.verdict is Verdict.CANNOT_TELL)
    assert operator.endswith(".")


@pytest.mark.parametrize("name", list(CauseName))
def test_every_cause_has_words(name: CauseName) -> None:
    cause = Cause(name=name, size=Estimated(value=5.0, low=4.0, high=6.0), unit="deg", weight=1.0)
    words = cause_words(cause)
    assert words
    assert "{" not in words
    assert name is CauseName.NONE or "5 degrees" in words


def test_the_twin_of_a_raised_tube_tilts_the_receptor_the_way_its_words_say() -> None:
    """Square onto a receptor whose upper edge leans inwards, a ring lifts the tube."""
    plan = plan_of()
    leaning = replace(plan.setting.placement(), tilt_deg=8.0)
    seated = seat(plan.station.seating, leaning)
    up, away = -seated.axes_mouth[0, 1], seated.axes_mouth[0, 2]
    assert up @ plan.station.seating.frame.tongue_mouth > 0.1, "the upper edge is at the midline"
    assert -away[2] > 0.1, "square onto it is from above"
    cause = sample(vertical_deg=8).correction.causes[0]
    assert cause.name is CauseName.TUBE_TOO_HIGH
    assert "upper edge leaned that much too far to the midline" in cause_words(cause)


def test_how_often_intervals_held_is_quoted_for_the_own_view_and_movement() -> None:
    off = sample("left-premolar-vertical", swing_deg=10)
    region = view("left-premolar-vertical").region
    known = known_accuracy(region, Part.SWING)
    assert known is not None
    said = teacher_paragraph(off.correction, region=region)
    quoted = f"in {known.films} simulated upright premolar films of real crowns in mouths not known"
    assert f"{quoted} before they did in {known.share_held:.0%} (tube, to front or back)" in said
    assert "receptor, to front" not in said
    other = teacher_paragraph(off.correction, region=view("right-molar").region)
    assert f"{known_accuracy(view('right-molar').region, Part.SWING).share_held:.0%}" in other


def test_without_a_view_no_share_is_quoted() -> None:
    said = teacher_paragraph(sample(swing_deg=10).correction)
    assert "nine times in ten" in said
    assert "simulated" not in said


def test_a_film_that_serves_its_question_is_not_told_to_be_mended() -> None:
    """A real film with every contact open was told to swing the tube, as one that had failed is."""
    correction = sample(swing_deg=10).correction
    failed, serves = (correction_words(correction, serves=each).operator for each in (False, True))
    assert failed.startswith("Next time, or if another exposure is justified: ")
    assert serves.startswith("This film serves its question")
    assert "nothing needs to move for that. To come nearer to the best exposure" in serves
    assert "another exposure is justified" not in serves
    assert serves.rpartition(": ")[2] == failed.rpartition(": ")[2]


def test_a_film_that_serves_is_not_asked_for_what_may_be_none() -> None:
    """The sentence said "perhaps", and the answer above it nothing of it; the table has it."""
    told = sample(swing_deg=10, vertical_deg=8).correction
    for needs in ((Need.PERHAPS, Need.PERHAPS), (Need.MOVE, Need.PERHAPS)):
        by_part = dict(zip((Part.SWING, Part.VERTICAL), needs, strict=True))
        movements = tuple(
            replace(each, need=by_part.get(each.part, Need.STAY)) for each in told.movements
        )
        verdict = Verdict.NEARER if Need.MOVE in needs else Verdict.NOTHING
        serving = replace(told, verdict=verdict, movements=movements)
        words = correction_words(serving, serves=True)
        assert words.operator.startswith("This film serves its question")
        assert "erhaps" not in words.operator
        assert "Likely" in words.teacher

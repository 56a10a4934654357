"""Slips of the hand are named before marks are believed, and nothing is advised on lost ones."""

from collections.abc import Mapping
from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from bitewright.estimation.estimate import FilmEvidence, estimate
from bitewright.estimation.exposure_unknowns import NAMES, exposures_at, usual_unknowns
from bitewright.estimation.left_out import ExpectedOverlap, MarksLeftOut
from bitewright.estimation.mouth_belief import population
from bitewright.estimation.mouth_prior import mean_mouth
from bitewright.estimation.mouth_shapes import mouth_shapes
from bitewright.explanation.correction import Correction, Need, Verdict
from bitewright.explanation.doubtful_marks import DoubtfulMark
from bitewright.explanation.explain import explain
from bitewright.explanation.mark_slips import mark_slips
from bitewright.exposing.exposure import Station, station
from bitewright.exposing.project import project
from bitewright.exposing.targets import targets
from bitewright.marking.marked_landmarks import landmarks_from_marks
from bitewright.marking.marks import Mark, MarkedFilm, MarkStatus
from bitewright.marking.simulated_marker import marked_by_simulation
from bitewright.marking.tooth_numbers import numbered_off
from bitewright.mouth.outlines import build_outlines
from bitewright.quality.views import view
from bitewright.words.corrections import operator_sentence
from bitewright.words.mark_slips import slip_sentences
from trials.known_films import Equipment

VIEW = view("right-premolar")
SWING_DEG = 14.0
TEETH = tuple(mean_mouth().teeth)

EDGE_SEEN_MM = 0.07
"""A film shows a crown's edge so far inside it (visible_places.toml)."""


@cache
def usual_station() -> Station:
    usual = Equipment.usual()
    outlines = build_outlines(mean_mouth())
    return station(outlines, VIEW.region, usual.receptor, usual.holder, usual.tube)


@cache
def film() -> MarkedFilm:
    """The mean mouth, the tube swung to the front so that contacts overlap."""
    at = usual_station()
    unknowns = usual_unknowns(at)
    unknowns[NAMES.index("azimuth_deg")] += SWING_DEG
    marks, _ = project(exposures_at(at, unknowns[None]), targets(at.outlines, at.region))
    return marked_by_simulation(
        marks,
        VIEW,
        pixel_mm=0.02,
        image_name="a.png",
        receptor="sensor-2",
        sd_mm=0.1,
        generator=np.random.default_rng(0),
    )


def correction(marks: Mapping[str, Mark]) -> Correction:
    landmarks = landmarks_from_marks(replace(film(), marks=dict(marks)), VIEW, pixel_mm=0.02)
    found = estimate(
        [FilmEvidence(landmarks=landmarks, station=usual_station())],
        mouth_shapes(TEETH, VIEW.region),
        population(TEETH),
    )
    return explain(found, VIEW, generator=np.random.default_rng(0)).correction


@pytest.mark.slow
def test_two_exchanged_marks_are_asked_about() -> None:
    marks = dict(film().marks)
    one, other = "15.distal", "16.mesial"
    plain = landmarks_from_marks(film(), VIEW, pixel_mm=0.02)
    overlap = VIEW.region.front_sign * (plain.points(other) - plain.points(one))[0, 0] / 1.04
    marks[one], marks[other] = marks[other], marks[one]
    said = operator_sentence(correction(marks))
    assert said.startswith("15-16 is marked as a space of ")
    assert f"exchanged, its two marks would be an overlap of {overlap:.2f} mm" in said
    assert "which fits the others" in said
    assert "exchanged" not in operator_sentence(correction(film().marks))


def test_two_marks_that_the_picture_shows_exchanged_come_first() -> None:
    """A space of a millimetre that the other marks make neither more nor less likely."""
    contact = ExpectedOverlap(
        front="15.distal",
        back="16.mesial",
        marked_overlap_mm=-1.0,
        expected_overlap_mm=0.0,
        sd_mm=1.0,
    )
    landmarks = landmarks_from_marks(film(), VIEW, pixel_mm=0.02)
    beside = MarksLeftOut(marks={}, contacts=(contact,))
    assert not mark_slips(landmarks, beside)
    both = [
        DoubtfulMark(name=name, chance=0.9, seen_mm=(1.1, 0.0))
        for name in (contact.front, contact.back)
    ]
    found = mark_slips(landmarks, beside, both)
    assert found.come_first
    assert [each.contact for each in found.exchanged] == ["15-16"]
    (said,) = slip_sentences(found)
    assert said.endswith("and the picture shows them so: check them first.")
    elsewhere = [replace(each, seen_mm=(0.5, 0.0)) for each in both]
    assert not mark_slips(landmarks, beside, elsewhere)


@pytest.mark.slow
def test_a_space_as_wide_as_a_tooth_lets_nothing_be_advised() -> None:
    marks = dict(film().marks)
    moved = marks["16.mesial"]
    side = np.sign(moved.x_px - marks["15.mesial"].x_px)
    marks["16.mesial"] = replace(moved, x_px=moved.x_px + side * 7.0 / 0.02)
    found = correction(marks)
    assert found.verdict is Verdict.CANNOT_TELL
    assert not any(each.need is Need.MOVE for each in found.movements)
    said = operator_sentence(found)
    assert "nearly a tooth's width" in said
    assert said.endswith("Until that is settled, nothing is advised.")


def renamed(marks: Mapping[str, Mark], jaw: str, step: int) -> dict[str, Mark]:
    """The same marks, teeth of a quadrant named so many places further back; its cusps left out."""
    return {
        f"{int(name[:2]) + step}{name[2:]}" if name[0] == jaw else name: mark
        for name, mark in marks.items()
        if name[0] != jaw or (3 <= int(name[1]) + step <= 8 and not name.endswith(".cusp"))
    }


@pytest.mark.parametrize(("jaw", "step"), [("1", 1), ("4", 1)])
def test_teeth_named_one_place_off_are_told_by_their_widths(jaw: str, step: int) -> None:
    marks = renamed(film().marks, jaw, step)
    landmarks = landmarks_from_marks(replace(film(), marks=marks), VIEW, pixel_mm=0.02)
    (found,) = numbered_off(landmarks)
    assert {code // 10 for code in found.codes} == {int(jaw)}
    assert found.likelier == tuple(code - step for code in found.codes)


def test_teeth_rightly_named_are_not_doubted() -> None:
    landmarks = landmarks_from_marks(film(), VIEW, pixel_mm=0.02)
    assert numbered_off(landmarks) == ()


@pytest.mark.slow
def test_marks_nowhere_near_a_mouth_lead_to_no_advice() -> None:
    generator = np.random.default_rng(6)
    marks = {
        name: replace(mark, x_px=float(generator.uniform(0.0, film().columns)))
        if mark.status is MarkStatus.SEEN and name.endswith("cusp")
        else mark
        for name, mark in film().marks.items()
    }
    found = correction(marks)
    assert found.is_hopeless
    assert operator_sentence(found).startswith("These marks fit no exposure that a mouth allows")
    assert "about" not in operator_sentence(found)

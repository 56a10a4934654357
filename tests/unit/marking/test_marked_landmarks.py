"""Marked films: the same measurements as the projection they were marked on, and checks of side."""

from dataclasses import replace

import numpy as np
import pytest

from bitewright.exposing.aim import Aim
from bitewright.exposing.exposure import Exposures, expose
from bitewright.exposing.placement import Placement
from bitewright.marking.assess import assess
from bitewright.marking.marked_landmarks import (
    ToothNotInViewError,
    UpsideDownError,
    WrongWayRoundError,
    landmarks_from_marks,
    teeth_on_film,
    teeth_without_marks,
)
from bitewright.marking.marks import Mark, MarkedFilm, MarkStatus, Mounting
from bitewright.marking.rating_chances import drawn_rating, state_chances
from bitewright.marking.simulated_marker import marked_by_simulation
from bitewright.mouth.drawn_mouth import drawn_mouth
from bitewright.quality.criteria import Question
from bitewright.quality.predicted import Prediction, asked, predict
from bitewright.quality.questions import NamedQuestion
from bitewright.quality.rating import ContactState, Outcome
from bitewright.quality.views import view
from bitewright.words.assumptions import teeth_taken_to_stand
from tests.scenes import station_in

VIEW = view("right-premolar")
PIXEL_MM = 0.03
SD_MM = 0.12


def exposed(swing_deg: float = 6.0, seed: int = 3) -> tuple[Exposures, Prediction]:
    """A drawn mouth on film-2 with the tube somewhat off."""
    at = station_in(drawn_mouth(seed))
    exposure = expose(
        at, Placement(lingual_mm=3.0), Aim(ring_offset_deg=swing_deg, vertical_deg=4.0)
    )
    return exposure, predict(exposure, asked(VIEW, at))


def marked(prediction: Prediction, *, sd_mm: float = 1e-6, seed: int = 1) -> MarkedFilm:
    """Marks on that film."""
    return marked_by_simulation(
        prediction.landmarks,
        VIEW,
        pixel_mm=PIXEL_MM,
        image_name="film.png",
        receptor="film-2",
        sd_mm=sd_mm,
        generator=np.random.default_rng(seed),
    )


def test_marking_a_projection_gives_its_measurements_back() -> None:
    _, prediction = exposed()
    found = assess(marked(prediction), VIEW, pixel_mm=PIXEL_MM, block_mm=1.8).measurements
    truth = prediction.measurements
    # The film's own scale is not known: 1.04 is assumed, the truth is within a few percent.
    assert np.allclose(found.overlap_mm, truth.overlap_mm, atol=0.03)
    assert np.allclose(found.occlusal_slope_deg, truth.occlusal_slope_deg, atol=0.05)
    assert np.allclose(found.occlusal_offset_mm, truth.occlusal_offset_mm, atol=0.05)
    assert np.allclose(found.crest_clearance_mm, truth.crest_clearance_mm, atol=0.25)
    assert np.allclose(found.closure_mm, truth.closure_mm, atol=0.3)


def test_stated_deviations_are_the_scatter_of_repeated_marking() -> None:
    _, prediction = exposed()
    repeats = [
        assess(marked(prediction, sd_mm=SD_MM, seed=seed), VIEW, pixel_mm=PIXEL_MM)
        for seed in range(200)
    ]
    overlaps = np.array([a.measurements.overlap_mm[0] for a in repeats])
    stated = np.mean([a.measurements.sd["overlap_mm"][0] for a in repeats], axis=0)
    assert np.allclose(overlaps.std(axis=0), stated, rtol=0.2)
    slopes = np.array([a.measurements.occlusal_slope_deg[0] for a in repeats])
    stated_slope = np.mean([a.measurements.sd["occlusal_slope_deg"][0] for a in repeats])
    assert slopes.std() == pytest.approx(stated_slope, rel=0.2)


def test_stated_chances_of_open_come_true_and_tell_contacts_apart() -> None:
    """Films in swings that the prior was not fitted to."""
    chance, was_open = [], []
    for seed in range(25):
        _, prediction = exposed(swing_deg=float(seed % 7) - 3.0, seed=seed)
        answer = assess(marked(prediction, sd_mm=SD_MM, seed=seed), VIEW, pixel_mm=PIXEL_MM)
        drawn = drawn_rating(answer.measurements, Question.ENAMEL, np.random.default_rng(seed))
        for column, each in enumerate(state_chances(answer.contacts, drawn)):
            if each is not None:
                chance.append(each.open)
                was_open.append(prediction.rating.states[0, column] == ContactState.OPEN)
    assert len(chance) > 100
    assert np.mean(was_open) - 0.1 < np.mean(chance) < np.mean(was_open) + 0.1
    assert np.corrcoef(chance, was_open)[0, 1] > 0.3


def test_mirrored_mounting_marked_as_such_measures_the_same() -> None:
    _, prediction = exposed()
    film = marked(prediction)
    turned = replace(film, mounting=Mounting.MIRRORED, marks=flipped(film))
    one, other = (assess(f, VIEW, pixel_mm=PIXEL_MM).measurements for f in (film, turned))
    assert np.allclose(one.overlap_mm, other.overlap_mm, atol=1e-9)


def flipped(film: MarkedFilm, *, upright: bool = True) -> dict[str, Mark]:
    """Marks of the film turned left for right, or top for bottom."""
    return {
        name: mark
        if mark.x_px is None or mark.y_px is None
        else Mark(
            x_px=film.columns - mark.x_px if upright else mark.x_px,
            y_px=mark.y_px if upright else film.rows - mark.y_px,
        )
        for name, mark in film.marks.items()
    }


def test_a_mirrored_film_is_noticed() -> None:
    _, prediction = exposed()
    film = marked(prediction)
    with pytest.raises(WrongWayRoundError, match="the film is of the left side, or its mounting"):
        assess(replace(film, marks=flipped(film)), VIEW, pixel_mm=PIXEL_MM)


@pytest.mark.parametrize("swing_deg", [-12.0, 12.0])
def test_edges_at_overlapped_contacts_say_nothing_of_the_side(swing_deg: float) -> None:
    """However few they are, and whichever way the tube was off."""
    _, prediction = exposed(swing_deg=swing_deg)
    film = marked(prediction)
    for contacts in (["15-16"], ["15-16", "45-46"], ["14-15", "44-45"]):
        edges = {
            f"{tooth}.{side}"
            for contact in contacts
            for tooth, side in zip(contact.split("-"), ("distal", "mesial"), strict=True)
        }
        few = {name: mark for name, mark in film.marks.items() if name in edges}
        assert len(few) == 2 * len(contacts)
        assert assess(replace(film, marks=few), VIEW, pixel_mm=PIXEL_MM).contacts


def test_the_two_edges_of_one_tooth_tell_the_side() -> None:
    _, prediction = exposed()
    film = marked(prediction)
    turned = flipped(film)
    two = {name: turned[name] for name in ("15.mesial", "15.distal")}
    with pytest.raises(WrongWayRoundError):
        assess(replace(film, marks=two), VIEW, pixel_mm=PIXEL_MM)


def test_a_film_upside_down_is_noticed() -> None:
    _, prediction = exposed()
    film = marked(prediction)
    with pytest.raises(UpsideDownError, match="upper teeth below the lower"):
        assess(replace(film, marks=flipped(film, upright=False)), VIEW, pixel_mm=PIXEL_MM)


def test_a_film_turned_half_round_is_called_upside_down_and_of_no_other_side() -> None:
    _, prediction = exposed()
    film = marked(prediction)
    turned = flipped(replace(film, marks=flipped(film, upright=False)), upright=True)
    with pytest.raises(UpsideDownError, match="the image is upside down; turn it by 180 degrees"):
        assess(replace(film, marks=turned), VIEW, pixel_mm=PIXEL_MM)


@pytest.mark.parametrize("name", ["26.mesial", "11.distal", "36.distal"])
def test_a_tooth_the_view_cannot_show_is_refused(name: str) -> None:
    _, prediction = exposed()
    film = marked(prediction)
    other = replace(film, marks={**film.marks, name: Mark(x_px=100.0, y_px=100.0)})
    with pytest.raises(ToothNotInViewError, match="right premolar does not show"):
        landmarks_from_marks(other, VIEW, pixel_mm=PIXEL_MM)


def test_what_is_not_marked_is_unknown_and_what_is_absent_is_not_asked() -> None:
    _, prediction = exposed(swing_deg=0.0)
    film = marked(prediction)
    fewer = {name: mark for name, mark in film.marks.items() if not name.startswith("44.mesial")}
    answer = assess(replace(film, marks=fewer), VIEW, pixel_mm=PIXEL_MM)
    state = {contact.name: contact.state for contact in answer.contacts}
    assert state["43-44"] == ContactState.UNKNOWN
    assert any(finding.outcome == Outcome.UNKNOWN for finding in answer.findings)
    without = {name: mark for name, mark in film.marks.items() if not name.startswith("44.")}
    gone = replace(film, marks=without, absent_teeth=(44,))
    names = [contact.name for contact in assess(gone, VIEW, pixel_mm=PIXEL_MM).contacts]
    assert "43-44" not in names
    assert "45-46" in names


def test_a_contact_said_to_be_outside_is_not_shown() -> None:
    _, prediction = exposed()
    film = marked(prediction)
    outside = {**film.marks, "13.distal": Mark(status=MarkStatus.OUTSIDE)}
    about = NamedQuestion(question=Question.SURFACE, surfaces=("13.distal",))
    answer = assess(replace(film, marks=outside), VIEW, pixel_mm=PIXEL_MM, question=about)
    assert answer.contacts[0].state == ContactState.NOT_SHOWN
    assert any(
        finding.outcome == Outcome.FAILED and "canine" in finding.criterion.says
        for finding in answer.findings
    )


def test_a_film_is_asked_for_all_teeth_of_its_side_but_those_absent() -> None:
    """Third molars only where they are marked."""
    _, prediction = exposed()
    film = marked(prediction)
    few = {name: mark for name, mark in film.marks.items() if name == "15.mesial"}
    usual = {*range(11, 18), *range(41, 48)}
    assert len(few) == 1
    assert teeth_on_film(replace(film, marks=few, absent_teeth=()), VIEW) == usual
    third = few | {"18.mesial": Mark(status=MarkStatus.OUTSIDE)}
    without = replace(film, marks=third, absent_teeth=(46,))
    assert teeth_on_film(without, VIEW) == (usual | {18}) - {46}


def test_a_tooth_that_was_left_out_is_told_to_be_taken_to_stand() -> None:
    """A film was rated A although nobody knew whether a tooth in front of its gap was missing."""
    at = Mark(x_px=500.0, y_px=500.0)
    film = MarkedFilm(
        image_name="a.png",
        columns=1300,
        rows=1000,
        view="right-premolar",
        marks={"13.distal": at, "14.mesial": at, "44.mesial": at, "46.mesial": at},
    )
    assert teeth_without_marks(film, VIEW) == (43, 45)
    assert teeth_without_marks(replace(film, absent_teeth=(43, 45)), VIEW) == ()
    assert teeth_taken_to_stand((43,)) == (
        "43 bears no mark and is taken to stand: if it is missing, say so with the marks, for then "
        "the surfaces beside the gap are needed."
    )

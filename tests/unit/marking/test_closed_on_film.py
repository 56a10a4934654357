"""What a marked film says of a missing tooth's space: closed, and then a contact, or open."""

from dataclasses import replace

import numpy as np
import pytest

from bitewright.marking.assess import Assessment, assess
from bitewright.marking.closed_on_film import closed_on_film
from bitewright.marking.marked_landmarks import WrongWayRoundError
from bitewright.marking.marks import Mark, Mounting
from bitewright.marking.simulated_marker import true_marks
from bitewright.marking.visible_places import VISIBLE
from bitewright.quality.criteria import CriterionName
from bitewright.quality.predicted import asked, predict
from bitewright.quality.rating import ContactState, Outcome
from bitewright.quality.rating_schemes import rating_scheme
from bitewright.quality.views import view
from bitewright.visit.film_evidence import FilmOfVisit
from tests.scenes import station_in
from tests.unit.closed_spaces import closed_mouth, swung
from tests.unit.visit.marked import MAGNIFICATION, OFF, PIXEL_MM, changed, film, mirrored

ABSENT = (14, 44)
FIRST_MARKS = ("13.distal", "15.mesial")
HEIGHT_PX = {"1": 400.0, "4": 600.0}


def with_facing(overlap_mm: float, *, at: str = "13-15") -> FilmOfVisit:
    """A premolar film without 14 and 44, the edges beside one space so far over each other."""
    front, back = at.split("-")
    half_px = (0.5 * overlap_mm * MAGNIFICATION + VISIBLE.edge.outward_mm) / PIXEL_MM
    y = HEIGHT_PX[front[0]]
    marks = {
        f"{front}.distal": Mark(x_px=1000.0 - half_px, y_px=y),
        f"{back}.mesial": Mark(x_px=1000.0 + half_px, y_px=y),
    }
    return changed(film("right-premolar", absent=ABSENT), marks)


def assessed(of: FilmOfVisit) -> Assessment:
    """Measured and rated."""
    return assess(of.marks, of.view, pixel_mm=of.pixel_mm)


@pytest.mark.parametrize("overlap_mm", [1.2, 0.0, -1.7])
def test_edges_that_overlap_or_nearly_meet_are_a_contact_of_their_own(overlap_mm: float) -> None:
    for of, name in (
        (with_facing(overlap_mm), "13-15"),
        (mirrored(with_facing(overlap_mm)), "23-25"),
    ):
        found = assessed(of)
        contact = next(each for each in found.contacts if each.name == name)
        assert contact.overlap_mm == pytest.approx(overlap_mm, abs=0.02)
        assert f"{name[3:]}.mesial" not in found.wanted.gap_surfaces


def test_edges_further_apart_or_not_marked_leave_a_gap() -> None:
    for of in (with_facing(-2.5), changed(with_facing(0.0), {"13.distal": OFF})):
        assert closed_on_film(of.marks, of.view, pixel_mm=of.pixel_mm) == ()
        found = assessed(of)
        assert found.wanted.gap_surfaces == ("15.mesial", "45.mesial")
        assert [each.name for each in found.contacts] == ["15-16", "45-46"]


def test_a_film_whose_only_shut_contact_lies_across_a_closed_space_is_not_good() -> None:
    scheme = rating_scheme("uk-2020")
    shut, opened = assessed(with_facing(1.2)), assessed(with_facing(0.0))
    states = {each.name: each.state for each in shut.contacts}
    assert states.pop("13-15") is ContactState.UNREADABLE
    assert set(states.values()) == {ContactState.OPEN}
    assert shut.rating.grade(scheme) == [scheme.grades["some_failed"]]
    worst = shut.findings[0]
    assert (worst.criterion.name, worst.outcome) == (CriterionName.CONTACTS_OPEN, Outcome.FAILED)
    assert worst.place == "13-15"
    assert opened.rating.grade(scheme) != shut.rating.grade(scheme)


def test_two_edges_that_overlap_across_a_closed_space_turn_no_film_round() -> None:
    """The first two marks of such a film: they said that its front lay at the other end."""
    of = with_facing(1.2)
    first = {name: of.marks.marks[name] for name in FIRST_MARKS}
    found = assessed(replace(of, marks=replace(of.marks, marks=first)))
    assert found.contacts[0].name == "13-15"
    turned = replace(of, marks=replace(of.marks, mounting=Mounting.MIRRORED))
    with pytest.raises(WrongWayRoundError):
        assessed(turned)


@pytest.mark.parametrize(
    ("view_name", "missing", "ring_offset_deg"),
    [
        ("right-premolar", (14, 44), -20.0),
        ("right-premolar", (46,), 12.0),
        ("left-molar", (25, 36), 14.0),
    ],
)
def test_a_film_of_a_closed_mouth_is_measured_as_it_was_predicted(
    view_name: str, missing: tuple[int, ...], ring_offset_deg: float
) -> None:
    """By the landmarks' own projection, each of which is marked where it shows."""
    of_view, at = view(view_name), station_in(closed_mouth(*missing), view_name, "plate-2")
    seen = predict(swung(at, ring_offset_deg), asked(of_view, at))
    closed = [(c - 1, c + 1) for c in missing]
    marks = true_marks(
        seen.landmarks,
        of_view,
        pixel_mm=0.03,
        image_name="film.png",
        receptor="plate-2",
        closed=closed,
    )
    told = replace(marks, absent_teeth=missing)
    found = assess(told, of_view, pixel_mm=0.03, receptor=at.receptor)
    assert set(closed) <= set(found.wanted.contacts)
    assert found.wanted.names == seen.measurements.wanted.names
    assert found.wanted.contacts == seen.measurements.wanted.contacts
    both = found.measurements.overlap_mm[0], seen.measurements.overlap_mm[0]
    known = np.isfinite(both[0])
    assert known[[found.wanted.contacts.index(pair) for pair in closed]].all()
    assert both[0][known] == pytest.approx(both[1][known], abs=0.25)

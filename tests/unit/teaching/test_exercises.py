"""Exercises: what is planted is what other ways of looking find, and it is plainly seen."""

import numpy as np
import pytest

from bitewright.equipment.receptors import ReceptorKind
from bitewright.explanation.correction import CauseName
from bitewright.exposing.beam_cover import BEAM_PLACES, BeamPlace
from bitewright.exposing.contact_error import contact_errors_deg
from bitewright.film.film_faults import LEAST_SIZE, MOST_SIZE, POSSIBLE, FaultName
from bitewright.log.checklists import packaged_checklists
from bitewright.mouth.mouth import Mouth
from bitewright.mouth.population_mouth import population_mouth
from bitewright.planning.best_aim import Plan, best_aim
from bitewright.planning.open_fans import open_fans
from bitewright.quality.criteria import overlap_limits
from bitewright.quality.findings import pair_name
from bitewright.quality.rating import ContactState
from bitewright.quality.views import view
from bitewright.quality.wanted import edges
from bitewright.report.exercise_film import RING_MM
from bitewright.tasks.catalogue.named import equipment, named_equipment, station_for
from bitewright.teaching.correcting import correction_score
from bitewright.teaching.exercises import (
    decided_contacts,
    drawn_exercise,
    is_found,
    unread_by_marks,
    unread_contacts,
)
from bitewright.teaching.fault_names import PlantedFault
from bitewright.teaching.handled import HANDLED
from bitewright.teaching.item import ItemKind
from bitewright.teaching.planted import (
    CONE_CUTS,
    PLANTINGS,
    TWINS,
    accepted,
    cause_of,
    planted_slip,
)
from bitewright.teaching.reading import CLEAR_MM, INTO_TOOTH_MM, ReadQuestion, reading_of
from bitewright.teaching.slips import HandSlip
from bitewright.teaching.spoilt_film import SpoiltFilm, spoilt_film
from bitewright.words.exercises import explanation_words
from tests.unit.closed_spaces import closed_mouth


@pytest.fixture(scope="module")
def plan() -> Plan:
    return best_film(population_mouth(3))


def best_film(mouth: Mouth, view_name: str = "left-molar") -> Plan:
    by = named_equipment(
        equipment(), receptor="plate-2", holder="ring-holder", tube="rectangular-300"
    )
    of_view = view(view_name)
    return best_aim(of_view, station_for(of_view, mouth, by))


def a_film(plan: Plan, fault: PlantedFault, seed: int = 1) -> SpoiltFilm:
    return spoilt_film(plan, fault, planted_slip(fault, np.random.default_rng(seed)))


def test_a_contact_across_a_closed_space_is_among_what_a_film_is_decided_by() -> None:
    """Its back surface is needed: a film whose 13-15 was shut was marked as leaving nothing."""
    plan = best_film(closed_mouth(24, 34), "left-premolar")
    film = spoilt_film(plan, PlantedFault.TUBE_TOO_FAR_FORWARD, HandSlip(swing_deg=12.0))
    states = dict(
        zip(
            map(pair_name, film.prediction.measurements.wanted.contacts),
            film.prediction.rating.states[0],
            strict=True,
        )
    )
    assert states["23-25"] == ContactState.UNREADABLE
    assert set(decided_contacts(film)) == {"23-25", "25-26", "33-35", "35-36"}
    assert "23-25" in unread_contacts(film)
    assert unread_contacts(film) == unread_by_marks(film)


@pytest.mark.slow
def test_every_planted_fault_is_found_back_from_the_marks_and_plainly_seen() -> None:
    centred = best_film(population_mouth(2))  # else the bite of its best film is off the middle
    for fault in PLANTINGS:
        film = a_film(centred, fault)
        assert is_found(film), fault
        assert film.sign >= 1.0, fault


@pytest.mark.slow
def test_a_film_without_a_fault_is_no_exercise(plan: Plan) -> None:
    for fault in PLANTINGS:
        film = spoilt_film(plan, fault, HandSlip())
        assert film.sign < 0.5
        assert fault in CONE_CUTS or not is_found(film)


def test_the_beam_misses_the_edge_that_the_fault_names(plan: Plan) -> None:
    for fault, place in zip(CONE_CUTS, (BeamPlace.FRONT, BeamPlace.BACK), strict=True):
        margins = a_film(plan, fault).prediction.measurements.beam_margin_mm[0]
        assert margins[BEAM_PLACES.index(place)] < -3.0
        edges = [margins[BEAM_PLACES.index(each)] for each in tuple(BeamPlace)[:4]]
        assert sum(each < 0.0 for each in edges) == 1


def test_what_no_film_tells_apart_counts_as_right_both_ways(plan: Plan) -> None:
    pairs = {fault: twin for fault, twin in TWINS.items() if PLANTINGS[fault].part == "swing_deg"}
    assert set(pairs) == {PlantedFault.TUBE_TOO_FAR_FORWARD, PlantedFault.TUBE_TOO_FAR_BACK}
    for fault, twin in pairs.items():
        assert accepted(fault) == accepted(twin) == {fault, twin}
        size = abs(PLANTINGS[fault].least)
        sign = np.sign(PLANTINGS[fault].least)
        swung = spoilt_film(plan, fault, HandSlip(swing_deg=sign * size))
        turned = spoilt_film(plan, twin, HandSlip(turn_deg=sign * size))
        overlaps = [each.prediction.measurements.overlap_mm[0] for each in (swung, turned)]
        np.testing.assert_allclose(*overlaps, atol=0.05)


def test_a_name_exercise_offers_the_truth_its_opposite_and_nothing_else_that_is_right(
    plan: Plan,
) -> None:
    for seed in range(3):
        exercise = drawn_exercise(ItemKind.NAME, plan, np.random.default_rng(seed))
        if exercise is None:
            continue
        fault = exercise.film.fault
        right = {PlantedFault(exercise.choices[k]) for k in exercise.key}
        assert fault in right
        assert right <= accepted(fault)
        assert len(set(exercise.choices)) == len(exercise.choices)
        wrong = {PlantedFault(each) for each in exercise.choices} - right
        assert not wrong & accepted(fault)
        cause = cause_of(fault)
        assert all(cause is None or cause_of(each) is not cause for each in wrong)


def test_what_was_done_with_a_receptor_is_asked_by_name_and_in_order_and_nowhere_else(
    plan: Plan,
) -> None:
    for kind in ItemKind:
        for fault in HANDLED:
            drawn = (
                drawn_exercise(kind, plan, np.random.default_rng(seed), faults=(fault,))
                for seed in range(2)
            )
            made = [each for each in drawn if each is not None]
            has_steps = len(packaged_checklists()[HANDLED[fault].look_for].looks) >= 3
            assert bool(made) is (
                kind is ItemKind.NAME or (kind is ItemKind.ORDER and has_steps)
            ), (kind, fault)
            for each in made:
                assert each.film.slip == HandSlip()
                assert each.film.handled is not None
                assert each.film.handled.film_fault == HANDLED[fault].film_fault
                assert explanation_words(each)


def test_names_offer_faults_of_aiming_and_of_handling(plan: Plan) -> None:
    for fault in (PlantedFault.MOVED, PlantedFault.TUBE_TOO_FAR_BACK):
        exercise = next(
            each
            for seed in range(9)
            if (
                each := drawn_exercise(
                    ItemKind.NAME, plan, np.random.default_rng(seed), faults=(fault,)
                )
            )
        )
        offered = {PlantedFault(each) for each in exercise.choices}
        wrong = offered - accepted(fault)
        assert wrong & set(HANDLED)
        assert wrong & set(PLANTINGS)


def test_each_fault_of_handling_is_one_that_films_can_have_on_its_receptor() -> None:
    for of in HANDLED.values():
        possible = POSSIBLE[FaultName(of.film_fault)]
        assert of.on_film == 0.0 or ReceptorKind.FILM in possible
        assert of.on_film == 1.0 or ReceptorKind.PLATE in possible
        assert LEAST_SIZE <= of.least <= of.most <= MOST_SIZE


def test_an_overlap_that_is_asked_about_lies_outside_the_fan_of_open_directions(
    plan: Plan,
) -> None:
    """The fans are found by turning the beam at a contact, not by measuring a film."""
    asked = 0
    for seed in range(12):
        generator = np.random.default_rng(seed)
        fault = (PlantedFault.TUBE_TOO_FAR_FORWARD, PlantedFault.TUBE_TOO_FAR_BACK)[seed % 2]
        film = spoilt_film(plan, fault, planted_slip(fault, generator))
        reading = reading_of(film.prediction, ReadQuestion.OVERLAP, generator)
        if reading is None:
            continue
        asked += 1
        vertical_deg = plan.setting.vertical_deg
        opening_deg = float(film.exposure.seat.opening_deg[0])
        fans = open_fans(plan.station.outlines, vertical_deg=vertical_deg, opening_deg=opening_deg)
        errors = contact_errors_deg(film.exposure, tuple(fan.site for fan in fans))[0]
        is_open = {
            fan.site.name: fan.holds(float(error) + fan.site.open_azimuth_deg)
            for fan, error in zip(fans, errors, strict=True)
        }
        for number, name in enumerate(reading.names):
            overlapped = reading.choices[reading.right] == reading.choices[number]
            assert is_open[name] is not overlapped, name
    assert asked >= 3


def test_no_contact_is_asked_about_that_lies_near_a_limit(plan: Plan) -> None:
    limit_mm = overlap_limits().open_mm
    asked = near = 0
    for seed in range(40):
        generator = np.random.default_rng(seed)
        slip = HandSlip(swing_deg=float(generator.uniform(-15.0, 15.0)))
        film = spoilt_film(plan, PlantedFault.TUBE_TOO_FAR_BACK, slip)
        measured = film.prediction.measurements
        overlaps = dict(
            zip(map(pair_name, measured.wanted.contacts), measured.overlap_mm[0], strict=True)
        )
        near += sum(abs(each - limit_mm) <= CLEAR_MM for each in overlaps.values())
        reading = reading_of(film.prediction, ReadQuestion.OVERLAP, generator)
        for name in reading.names if reading is not None else ():
            asked += 1
            assert abs(overlaps[name] - limit_mm) > CLEAR_MM - 1e-9, name
    assert asked >= 20
    assert near >= 5


def test_a_correction_scores_what_the_film_would_have_become(plan: Plan) -> None:
    was = HandSlip(swing_deg=14.0)
    assert correction_score(plan, was, HandSlip(swing_deg=-14.0)) == 1.0
    assert correction_score(plan, was, HandSlip(turn_deg=-14.0)) == pytest.approx(1.0, abs=0.51)
    assert correction_score(plan, was, HandSlip()) == 0.0
    assert correction_score(plan, was, HandSlip(swing_deg=8.0)) == 0.0
    assert correction_score(plan, was, HandSlip(forward_mm=39.0)) == 0.0
    assert correction_score(plan, HandSlip(), HandSlip()) == 0.0


def test_each_cause_of_an_explanation_but_teeth_apart_can_be_planted() -> None:
    causes = {cause_of(fault) for fault in PlantedFault} - {None}
    assert causes == set(CauseName) - {CauseName.NONE, CauseName.NOT_CLOSED}


def test_a_film_is_decided_without_the_canines_contact_and_little_overlap_is_told() -> None:
    made = best_aim_of_premolars()
    film = spoilt_film(made, PlantedFault.TUBE_TOO_FAR_BACK, HandSlip(swing_deg=-10.0))
    assert all(int(name[1]) > 3 for name in decided_contacts(film))
    told = [
        explanation_words(each)[0]
        for seed in range(30)
        if (each := drawn_exercise(ItemKind.DECIDE, made, np.random.default_rng(seed)))
    ]
    assert told
    assert not any(f"{tooth}3-" in line for line in told for tooth in (1, 2, 3, 4))
    assert any("little enough to be read" in line for line in told)


def best_aim_of_premolars() -> Plan:
    by = named_equipment(
        equipment(), receptor="plate-2", holder="ring-holder", tube="rectangular-300"
    )
    of_view = view("left-premolar")
    return best_aim(of_view, station_for(of_view, population_mouth(3), by))


def test_a_surface_asked_about_faces_the_neighbour_offered_as_often_as_not(plan: Plan) -> None:
    film = spoilt_film(plan, PlantedFault.RECEPTOR_TOO_HIGH, HandSlip(height_mm=3.0))
    facing = {
        one: other
        for pair in film.prediction.measurements.wanted.contacts
        for one, other in (edges(pair), edges(pair)[::-1])
    }
    faces = asked = known = 0
    for seed in range(200):
        generator = np.random.default_rng(seed)
        reading = reading_of(film.prediction, ReadQuestion.SURFACE, generator)
        assert reading is not None
        (name,) = reading.names
        assert reading.choices[reading.right] == name
        assert len(set(reading.choices)) == 4
        assert len({each[:2] for each in reading.choices}) == 2
        asked += 1
        faces += facing[name] in reading.choices
        assert INTO_TOOTH_MM == RING_MM
        place = reading.places_mm["A"][0]
        marks = film.prediction.landmarks
        own, far = (float(marks.points(each)[0][0]) for each in (name, across(name)))
        known += not np.isnan(far)
        assert np.isnan(far) or min(own, far) < place < max(own, far), "it stands on its own tooth"
        assert abs(place - own) > RING_MM - 0.5  # an eye sees the surface a little off its point
    assert 0.4 * asked < faces < 0.6 * asked
    assert known > 0.2 * asked


def across(name: str) -> str:
    """The other side of the same tooth."""
    ends = ("mesial", "distal")
    return name.replace(*ends) if name.endswith(ends[0]) else name.replace(*ends[::-1])


def test_a_surface_is_explained_by_where_the_front_lies(plan: Plan) -> None:
    """A left molar film is seen from the cheek: the front of the mouth lies to the left."""
    exercise = next(
        each
        for seed in range(9)
        if (
            each := drawn_exercise(
                ItemKind.READ,
                plan,
                np.random.default_rng(seed),
                faults=(PlantedFault.RECEPTOR_TOO_HIGH,),
                asks=ReadQuestion.SURFACE,
            )
        )
    )
    told = explanation_words(exercise)[0]
    assert "left" in told.split("lies to the ")[1][:5]
    assert "mesial surface is its left one and its distal surface its right one" in told
    assert " left " in told.partition(":")[0]  # the tooth's own name


def test_a_reading_says_why_only_where_the_fault_moves_crowns_over_one_another(plan: Plan) -> None:
    said = {}
    for fault in (PlantedFault.TUBE_TOO_FAR_BACK, PlantedFault.RECEPTOR_TOO_HIGH):
        made = (
            drawn_exercise(ItemKind.READ, plan, np.random.default_rng(seed), faults=(fault,))
            for seed in range(20)
        )
        said[fault] = [explanation_words(each) for each in made if each is not None]
        assert said[fault], fault
    why = [told for told in said[PlantedFault.TUBE_TOO_FAR_BACK] if "overlapped by" in told[0]]
    assert why
    assert all(told[1].startswith("Why: the tube stood") for told in why)
    assert all("where the best exposure leaves" in told[0] for told in why)
    for told in said[PlantedFault.RECEPTOR_TOO_HIGH]:
        assert told[1].startswith("Besides, what was wrong with this film: the receptor stood")

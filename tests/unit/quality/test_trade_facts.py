"""Facts of the trade that the model must find by itself. Common practice, no source."""

from functools import lru_cache

import numpy as np
import pytest

from bitewright.exposing.aim import Aim
from bitewright.exposing.exposure import expose
from bitewright.exposing.placement import Placement
from bitewright.exposing.project import project
from bitewright.exposing.seating import nearest_fit_mm, seat
from bitewright.exposing.targets import targets
from bitewright.mouth.drawn_mouth import drawn_mouth
from bitewright.planning.best_aim import Plan, best_aim
from bitewright.quality.criteria import overlap_limits
from bitewright.quality.predicted import Prediction, asked, predict
from bitewright.quality.views import view
from tests.scenes import station_in, station_of

MOUTHS = [None, 1, 2, 3, 4]


@lru_cache(maxsize=1)
def planned(view_name: str, seed: int | None) -> Plan:
    """The best aim of the standard mouth or a drawn one with a film-2; the last one is kept."""
    at = station_of(view_name) if seed is None else station_in(drawn_mouth(seed), view_name)
    return best_aim(view(view_name), at)


def predicted(view_name: str, swing_deg: float, seed: int | None = None) -> Prediction:
    """A film-2 exposure with the tube swung off the best aim of that mouth."""
    plan = planned(view_name, seed)
    at = plan.station
    aim = Aim(
        ring_offset_deg=plan.setting.ring_offset_deg + swing_deg,
        vertical_deg=plan.setting.vertical_deg,
    )
    return predict(expose(at, plan.setting.placement(), aim), asked(view(view_name), at))


@pytest.mark.parametrize("seed", MOUTHS)
def test_no_single_beam_opens_all_premolar_and_molar_contacts(seed: int | None) -> None:
    at = station_of() if seed is None else station_in(drawn_mouth(seed))
    wanted = targets(at.outlines, at.region)
    rings, verticals = np.meshgrid(np.arange(-40.0, 40.5, 0.5), np.arange(-5.0, 16.0, 5.0))
    exposures = expose(
        at,
        Placement(lingual_mm=4.0),
        Aim(ring_offset_deg=rings.ravel(), vertical_deg=verticals.ravel()),
    )
    landmarks, scale = project(exposures, wanted)
    edges = landmarks.points_receptor[:, : 2 * len(wanted.sites), 0]
    overlaps = (edges[:, 1::2] - edges[:, ::2]) * scale.object_per_receptor
    assert len(wanted.sites) == 8
    assert overlaps.max(axis=1).min() > overlap_limits().open_mm


@pytest.mark.parametrize("seed", MOUTHS)
@pytest.mark.parametrize("view_name", ["right-premolar", "left-molar"])
def test_tube_too_far_forward_overlaps_the_back_more_and_too_far_back_the_front(
    view_name: str, seed: int | None
) -> None:
    """In the standard mouth's molar view below alone.

    Above, mean crowns of a population have 6-7 open some 6 degrees in front of 5-6.
    """
    forward, back = (predicted(view_name, swing, seed) for swing in (10.0, -10.0))
    contacts = forward.measurements.wanted.contacts
    front = min(places(contacts)), max(places(contacts))
    only_lower = seed is None and "molar" in view_name and "pre" not in view_name
    for prediction, more in ((forward, front[1]), (back, front[0])):
        overlap = prediction.measurements.overlap_mm[0]
        at_place = {
            place: np.mean(
                [
                    each
                    for each, pair in zip(overlap, contacts, strict=True)
                    if pair[0] % 10 == place and (pair[0] > 30 or not only_lower)
                ]
            )
            for place in front
        }
        assert at_place[more] == max(at_place.values())


def places(contacts: tuple[tuple[int, int], ...]) -> list[int]:
    """Place in the row of each contact's front tooth."""
    return [pair[0] % 10 for pair in contacts]


@pytest.mark.parametrize("view_name", ["right-premolar", "right-molar"])
def test_a_rigid_sensor_shows_less_than_a_plate_of_the_same_size(view_name: str) -> None:
    clearance, margin = {}, {}
    for receptor in ("plate-2", "sensor-2"):
        plan = best_aim(view(view_name), station_of(view_name, receptor))
        measured = plan.prediction.measurements
        clearance[receptor] = measured.crest_clearance_mm.min()
        margin[receptor] = plan.station.half_width_mm * plan.station.half_height_mm
    assert clearance["sensor-2"] < clearance["plate-2"] - 0.5
    assert margin["sensor-2"] < margin["plate-2"]


def test_a_rigid_sensor_at_the_molars_must_go_nearer_the_midline_to_close() -> None:
    plate, sensor = (
        station_of("right-molar", receptor).seating for receptor in ("plate-2", "sensor-2")
    )
    here = Placement(lingual_mm=2.0)
    assert seat(sensor, here).closure_mm[0] > seat(plate, here).closure_mm[0] + 1.0
    assert nearest_fit_mm(sensor, here)[0] > nearest_fit_mm(plate, here)[0] + 2.0
    placed = Placement(lingual_mm=nearest_fit_mm(sensor, here))
    assert seat(sensor, placed).closure_mm[0] < 0.1


def test_turning_a_sensors_front_towards_the_opposite_canine_lets_it_further_forward() -> None:
    """Straight, its front end runs into the curve of the arch; turned, it passes behind it."""
    at = station_of("right-premolar", "sensor-2")
    placed = Placement(forward_mm=1.5, lingual_mm=1.0, turn_deg=np.array([0.0, 10.0]))
    seated = seat(at.seating, placed)
    straight, turned = seated.centres_mouth @ at.seating.frame.tongue_mouth
    assert turned < straight - 3.0
    assert seated.closure_mm[1] < seated.closure_mm[0] - 3.0


def test_a_beam_from_above_shifts_buccal_cusps_down_against_lingual_ones() -> None:
    at = station_of("right-molar")
    exposures = expose(at, Placement(lingual_mm=4.0), Aim(vertical_deg=np.array([0.0, 10.0])))
    landmarks, _ = project(exposures, targets(at.outlines, at.region))
    split = (
        landmarks.points("46.mesiobuccal.cusp")[:, 1]
        - landmarks.points("46.mesiolingual.cusp")[:, 1]
    )
    assert split[1] > split[0] + 0.8

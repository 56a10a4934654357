"""What is told as needed is what the estimated mouth and the set-up both ask for."""

from dataclasses import replace
from types import SimpleNamespace
from typing import Any, cast

import pytest

from bitewright.estimation.exposure_unknowns import NAMES, usual_unknowns
from bitewright.explanation.correction import (
    CauseName,
    Estimated,
    HeldApart,
    Need,
    Part,
    Verdict,
)
from bitewright.explanation.held_apart import freed_teeth
from bitewright.explanation.likeliest_faults import FaultFound
from bitewright.explanation.set_up_ways import (
    as_borne_out,
    exposed_from,
    is_to_be_borne_out,
    set_up_goes,
    set_up_with_room,
)
from bitewright.exposing.exposure import (
    CannotOpenError,
    CannotPassError,
    ReceptorTooLargeError,
    fitting,
)
from bitewright.mouth.standard_mouth import standard_mouth
from bitewright.planning.best_aim import Plan, Setting
from tests.sample_corrections import correction_of
from tests.scenes import station_in, station_of

SET_UP = Setting(
    forward_mm=0.0, lingual_mm=9.0, turn_deg=0.0, ring_offset_deg=0.0, vertical_deg=2.0
)


@pytest.mark.parametrize("view_name", ["right-premolar", "left-molar"])
def test_how_far_a_set_up_goes_is_what_it_differs_by(view_name: str) -> None:
    at = station_of(view_name)
    unknowns = usual_unknowns(at)
    unknowns[NAMES.index("vertical_deg")] = 9.0
    unknowns[NAMES.index("forward_mm")] = -4.0
    found = SimpleNamespace(films=[SimpleNamespace(station=at)], unknowns=unknowns[None])
    goes = set_up_goes(cast("Any", found), exposed_from(at, SET_UP))
    assert goes[Part.VERTICAL] == pytest.approx(-7.0, abs=0.5)
    assert goes[Part.FORWARD] == pytest.approx(4.0, abs=0.5)


@pytest.mark.parametrize(
    ("vertical_deg", "need"),
    [(-9.0, Need.MOVE), (-3.0, Need.PERHAPS), (0.0, Need.PERHAPS), (5.0, Need.PERHAPS)],
)
def test_a_tube_is_surely_to_be_lowered_only_where_the_set_up_lowers_it(
    vertical_deg: float, need: Need
) -> None:
    """The table said 14 degrees down, surely, and the sentence to point it 5 degrees more down."""
    told = correction_of({Part.VERTICAL: -14.0})
    assert is_to_be_borne_out(told)
    found = as_borne_out(told, {Part.VERTICAL: vertical_deg, Part.FORWARD: 0.0})
    assert found.of(Part.VERTICAL).need is need
    assert found.of(Part.VERTICAL).needed == told.of(Part.VERTICAL).needed
    assert found.verdict is (Verdict.MOVE if need is Need.MOVE else Verdict.NOTHING)


def test_what_no_set_up_says_is_left_as_it_is() -> None:
    told = correction_of({Part.SWING: -14.0, Part.HEIGHT: 3.0, Part.FORWARD: 5.0, Part.ROLL: 6.0})
    found = as_borne_out(told, {Part.VERTICAL: 0.0, Part.FORWARD: -3.0})
    changed = [
        after.part
        for before, after in zip(told.movements, found.movements, strict=True)
        if before != after
    ]
    assert changed == [Part.FORWARD]
    assert found.verdict is Verdict.MOVE
    open_still = replace(told, verdict=Verdict.CANNOT_TELL)
    assert as_borne_out(open_still, {Part.VERTICAL: 0.0, Part.FORWARD: 0.0}).verdict is (
        Verdict.CANNOT_TELL
    )
    assert not is_to_be_borne_out(correction_of({Part.SWING: -14.0, Part.HEIGHT: 3.0}))


@pytest.mark.parametrize(
    ("hand_mm", "need"), [(0.3, Need.STAY), (-3.0, Need.STAY), (3.0, Need.MOVE)]
)
def test_a_receptor_that_palate_or_floor_hold_down_is_not_told_to_be_raised(
    hand_mm: float, need: Need
) -> None:
    """It lay too far to the front, where both are shallow, and was told to be set higher."""

    def of(value: float) -> Estimated:
        return Estimated(value=value, low=value - 1.0, high=value + 1.0)

    amounts = dict.fromkeys(Part, of(0.0)) | {
        Part.FORWARD: of(-6.0),
        Part.HEIGHT: of(4.6),
        Part.CLOSURE: of(5.9),
    }
    needs = dict.fromkeys(Part, Need.STAY) | {Part.HEIGHT: Need.MOVE, Part.CLOSURE: Need.MOVE}
    faults = dict.fromkeys(CauseName, FaultFound(chance=0.5, size=of(3.0)))
    hand = amounts | {Part.HEIGHT: of(hand_mm)}
    freed = freed_teeth(HeldApart(by=Part.FORWARD, is_sure=True), amounts, hand, needs, faults)
    assert (needs[Part.FORWARD], needs[Part.CLOSURE]) == (Need.MOVE, Need.STAY)
    assert needs[Part.HEIGHT] is need
    assert freed[Part.HEIGHT].value == hand_mm
    assert Part.CLOSURE not in freed


def planned(setting: Setting) -> Plan:
    """A plan of which nothing but its setting counts."""
    return cast("Plan", SimpleNamespace(setting=setting))


def test_a_set_up_keeps_another_space_where_the_mouth_has_no_room_at_its_own() -> None:
    """A general plan was told in mouths in which its receptor runs into the teeth opposite."""
    at = station_of("right-premolar-vertical", "sensor-2")
    across = replace(SET_UP, lingual_mm=25.0)
    with pytest.raises(ReceptorTooLargeError):
        fitting(exposed_from(at, across))
    told = set_up_with_room(at, planned(SET_UP), across)
    fitting(exposed_from(at, told))
    assert told == replace(across, lingual_mm=told.lingual_mm)
    assert set_up_with_room(at, planned(across), SET_UP) == SET_UP


def test_a_set_up_that_fits_nowhere_across_gives_way_to_the_plan_for_the_mouth() -> None:
    at = station_of("right-premolar", "sensor-2")
    fits = replace(SET_UP, lingual_mm=5.0)
    turned = replace(SET_UP, turn_deg=60.0, forward_mm=-14.0)
    with pytest.raises(ReceptorTooLargeError):
        fitting(exposed_from(at, turned))
    fitting(exposed_from(at, fits))
    assert set_up_with_room(at, planned(fits), turned) == fits


def test_where_a_mouth_has_room_for_none_nothing_else_is_made_up() -> None:
    mouth = standard_mouth()
    small = replace(mouth, room=replace(mouth.room, opening_limit_mm=15.0))
    at = station_in(small, "right-premolar", "sensor-2")
    fits = replace(SET_UP, lingual_mm=5.0)
    with pytest.raises((CannotOpenError, CannotPassError)):
        fitting(exposed_from(at, fits))
    assert set_up_with_room(at, planned(SET_UP), fits) == fits

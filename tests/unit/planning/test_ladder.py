"""What to try in order: the steps there are, the one to take, and what a patient's limits do."""

from dataclasses import replace

import numpy as np
import pytest

from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.exposing.aim import Aim
from bitewright.exposing.exposure import CannotPassError, Exposures, Station, expose, fitting
from bitewright.exposing.passing import needed_to_pass_mm
from bitewright.exposing.placement import Placement
from bitewright.exposing.receptor_edges import behind_last_mm
from bitewright.exposing.region import Format
from bitewright.mouth.mouth import LIMITS, Room
from bitewright.planning import set_up_search
from bitewright.planning.best_aim import Setting
from bitewright.planning.expected_success import Success
from bitewright.planning.ladder import (
    AS_GOOD,
    WORKS,
    HandsAsked,
    Ladder,
    Owned,
    StepKind,
    Tried,
    borne_by,
    judged,
    ladder,
    steps_for,
)
from bitewright.planning.patient_limits import PatientLimit, assumed_limits, patient
from bitewright.planning.set_up_search import Freedoms, likeliest_set_up
from bitewright.planning.stated_hands import MIDDLING, stated_hands
from bitewright.quality.criteria import CriterionName, Question, criteria
from bitewright.quality.predicted import asked
from bitewright.quality.views import view
from tests.scenes import station_of

KNOWN = packaged_catalogue()
HANDS = {name: hand.scatter for name, hand in stated_hands().items()}
ERRORS = HANDS[MIDDLING].draw(np.random.default_rng(4), 100)


def owned(*names: str) -> Owned:
    return Owned(
        receptors=tuple(KNOWN.receptors[name] for name in names),
        holders=(KNOWN.holders["ring-holder"], KNOWN.holders["tab"]),
    )


def test_steps_come_in_the_order_of_the_trade_and_only_with_what_is_owned() -> None:
    ring = KNOWN.holders["ring-holder"]
    of, sensor = view("right-molar"), KNOWN.receptors["sensor-2"]
    every = steps_for(of, sensor, ring, owned(*KNOWN.receptors))
    kinds = [each.kind for each in every]
    assert kinds == sorted(kinds, key=list(StepKind).index)
    assert set(kinds) == set(StepKind)
    alone = steps_for(of, sensor, ring, Owned(receptors=(sensor,), holders=(ring,)))
    assert {each.receptor for each in alone} == {sensor}
    assert {each.holder for each in alone} == {ring}
    assert not {StepKind.TAB, StepKind.SMALLER, StepKind.PLATE_OR_FILM} & {e.kind for e in alone}
    upright = steps_for(view("right-molar-vertical"), sensor, ring, owned("sensor-2"))
    assert StepKind.UPRIGHT not in {each.kind for each in upright}


def test_a_set_up_that_rounding_takes_beyond_what_a_patient_bears_is_not_told(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    bears = patient([PatientLimit.SHORT_JAW])
    at = borne_by(station_of("right-molar", "sensor-2"), bears)
    rounded: list[Setting] = []

    def far_back(best: Setting) -> Setting:
        rounded.append(replace(best, forward_mm=-30.0))
        return rounded[-1]

    monkeypatch.setattr(set_up_search, "_by_halves", far_back)
    of = asked(view("right-molar"), at)
    found = likeliest_set_up(
        at, of, ERRORS[:4], freedoms=Freedoms(), question=Question.ENAMEL, bears=bears
    )
    assert found is not None
    for setting, bearable in ((rounded[0], False), (found[0], True)):
        exposed = expose(at, setting.placement(), setting.aim())
        assert (behind_last_mm(exposed)[0] <= bears.behind_last_mm) is np.bool_(bearable)


def tried_with(chances: list[float]) -> Ladder:
    ring, sensor = KNOWN.holders["ring-holder"], KNOWN.receptors["sensor-2"]
    steps = steps_for(view("right-molar"), sensor, ring, owned("sensor-2", "sensor-1"))
    some: object = object()
    made = [
        Tried(
            step=step,
            plan=some,  # type: ignore[arg-type]  only whether there is one is asked
            odds={MIDDLING: Success(chance=chance, error=0.0, shown=1.0, fails_most=())},
            not_shown=(),
        )
        for step, chance in zip(steps, chances, strict=False)
    ]
    return judged(made, MIDDLING)


def test_the_first_step_as_good_as_any_is_taken_and_none_where_none_works() -> None:
    most = 0.9
    found = tried_with([0.3, most - 2 * AS_GOOD, most - 0.5 * AS_GOOD, most])
    assert found.take is found.tried[2]
    assert found.likeliest is found.tried[3]
    hopeless = tried_with([0.3, WORKS - 0.01, 0.1])
    assert hopeless.take is None
    assert hopeless.likeliest is hopeless.tried[1]


def test_limits_make_room_less_and_never_less_than_a_mouth_can_have() -> None:
    room = Room()
    assert patient([]).room(room) == room
    for limit in PatientLimit:
        made = patient([limit]).room(room)
        assert made.palate_depth_mm <= room.palate_depth_mm
        assert made.floor_depth_mm <= room.floor_depth_mm
        row = assumed_limits()[limit]
        bound = patient([limit])
        assert bound.assumed == (row,)
        changes = made != room or bound.least_space_mm > 0 or bound.behind_last_mm < np.inf
        assert changes, f"{limit} changes nothing"
    tight = patient(list(PatientLimit)).room(replace(room, palate_depth_mm=6.0, floor_depth_mm=2.5))
    assert tight.palate_depth_mm == LIMITS["palate_depth_mm"][0]
    assert tight.floor_depth_mm == LIMITS["floor_depth_mm"][0]
    assert patient([], 30.0).room(room).opening_limit_mm == 30.0


def test_a_receptor_that_cannot_be_brought_in_is_no_set_up_and_no_exposure() -> None:
    at = station_of("right-molar", "sensor-2", "ring-holder")
    needed = needed_to_pass_mm(at.receptor, Format.HORIZONTAL)
    assert needed < needed_to_pass_mm(at.receptor, Format.VERTICAL)
    shut = borne_by(at, patient([], needed - 1.0))
    free = Freedoms(nearer=False, turn=False, tilt=False)
    of = asked(view("right-molar"), shut)
    assert likeliest_set_up(shut, of, ERRORS, freedoms=free, question=Question.ENAMEL) is None
    with pytest.raises(CannotPassError, match=f"{needed:.0f} mm apart"):
        fitting(usual(shut))
    assert fitting(usual(borne_by(at, patient([], needed + 1.0))))


def usual(at: Station) -> Exposures:
    return expose(at, Placement(lingual_mm=12.0), Aim())


def test_a_step_keeps_what_the_patient_bears() -> None:
    at = borne_by(
        station_of("right-molar", "plate-2", "ring-holder"),
        bears := patient([PatientLimit.GAGS, PatientLimit.LOWER_TORI]),
    )
    found = likeliest_set_up(
        at,
        asked(view("right-molar"), at),
        ERRORS,
        freedoms=Freedoms(tilt=False),
        question=Question.ENAMEL,
        bears=bears,
    )
    assert found is not None
    setting, success = found
    exposure = expose(at, setting.placement(), setting.aim())
    assert float(behind_last_mm(exposure)[0]) <= bears.behind_last_mm
    assert setting.lingual_mm >= bears.least_space_mm
    assert float(exposure.seat.closure_mm[0]) <= criteria()[CriterionName.CLOSURE].met
    assert success.chance > WORKS


@pytest.mark.slow
def test_a_shallow_palate_leads_to_tilt_and_a_shallower_one_to_a_smaller_size_or_a_plate() -> None:
    """Common practice, no source."""
    at = station_of("right-molar", "sensor-2", "ring-holder")

    def taken(*limits: PatientLimit) -> Ladder:
        return ladder(
            view("right-molar"),
            at,
            owned("sensor-2", "sensor-1", "plate-2", "plate-1"),
            HandsAsked(scatters=HANDS, decides=MIDDLING, seed=3),
            bears=patient(limits),
        )

    shallow = taken(PatientLimit.SHALLOW_PALATE)
    assert shallow.take is not None
    assert shallow.take.step.kind is StepKind.TILTED
    assert shallow.take.plan is not None
    assert shallow.take.plan.setting.tilt_deg >= 5.0
    shallower = taken(PatientLimit.SHALLOW_PALATE, PatientLimit.UPPER_TORUS)
    assert shallower.take is not None
    assert shallower.take.step.kind in (StepKind.SMALLER, StepKind.PLATE_OR_FILM)
    assert shallower.take.step.receptor.name in ("sensor-1", "plate-1", "plate-2")
    ordered = list(stated_hands())
    for tried in (*shallow.tried, *shallower.tried):
        chances = [tried.odds[name].chance for name in ordered] if tried.odds else []
        assert chances == sorted(chances)

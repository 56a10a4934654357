"""The next film, its advice followed: what was told comes to pass in the mouth."""

from dataclasses import replace
from typing import Any, cast

import numpy as np
import pytest

from bitewright.estimation.exposure_unknowns import pose_of
from bitewright.explanation.correction import Need, Part
from bitewright.explanation.course_trial import Expected
from bitewright.explanation.explanation import Explanation
from bitewright.explanation.needed_amounts import POSE_OF
from bitewright.explanation.next_exposure import OF_A_SET_UP, Course, NextExposure
from bitewright.exposing.aim import Aim
from bitewright.exposing.placement import Placement
from tests.sample_corrections import sample
from trials.known_films import SetUp
from trials.next_films import advised, followed, readable_share

TOLD = (Part.SWING, Part.VERTICAL, Part.FORWARD, Part.ROLL)
NO_SLIP = np.zeros((1, 4))


def test_following_moves_tube_and_receptor_by_what_is_told_and_opens_contacts() -> None:
    given = sample("right-molar", swing_deg=25.0, vertical_deg=5.0, forward_mm=2.0, roll_deg=4.0)
    plan, setting = given.plan, given.plan.setting
    there = SetUp(
        placement=replace(
            setting.placement(),
            forward_mm=setting.forward_mm + 2.0,
            roll_deg=4.0,
        ),
        aim=replace(
            setting.aim(),
            ring_offset_deg=setting.ring_offset_deg + 25.0,
            vertical_deg=setting.vertical_deg + 5.0,
        ),
    )
    told = replace(
        given.correction,
        movements=tuple(replace(each, need=Need.MOVE) for each in given.correction.movements),
    )
    then = followed(there, told)
    frame = plan.station.seating.frame
    along = (frame.front_mouth, frame.tongue_mouth)
    before, after = (pose_of(each.exposed(plan.station), *along) for each in (there, then))
    for part in TOLD:
        moved = getattr(after, POSE_OF[part])[0] - getattr(before, POSE_OF[part])[0]
        assert moved == pytest.approx(told.of(part).needed.value, abs=0.2), part
    best = SetUp(placement=setting.placement(), aim=setting.aim())
    shares = [
        readable_share(plan.station, plan.view, each, NO_SLIP).of_view
        for each in (there, then, best)
    ]
    assert shares[0] < shares[1] == shares[2]


def test_advice_goes_half_way_between_the_movement_and_the_set_up() -> None:
    """Told 10 degrees to the back of a tube 12 to the front of the best, and set up 4 behind it."""
    given = sample("right-molar", swing_deg=10.0)
    setting = given.plan.setting
    there = SetUp(
        placement=setting.placement(),
        aim=replace(setting.aim(), ring_offset_deg=setting.ring_offset_deg + 12.0),
    )
    fitted = replace(setting, ring_offset_deg=setting.ring_offset_deg - 4.0)
    anew = SetUp(placement=Placement(), aim=Aim())
    expected = Expected(readable=0.9, needed=0.9)

    def said(course: Course) -> Explanation:
        then = NextExposure(
            course=course,
            set_up=fitted,
            exposure=given.plan.exposure,
            goes=dict.fromkeys(OF_A_SET_UP, 0.0),
            expected={course: expected},
        )
        return Explanation(
            correction=given.correction,
            now=given.present,
            plan=given.plan,
            estimate=cast("Any", None),
            next=then,
        )

    half = advised(there, said(Course.MOVED), anew)
    assert half.aim.ring_offset_deg == pytest.approx(setting.ring_offset_deg - 1.0)
    assert half.placement == fitted.placement()
    assert advised(there, said(Course.FITTED), anew).aim == fitted.aim()
    assert advised(there, said(Course.ANEW), anew) is anew

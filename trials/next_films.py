"""What the next film shows: the movement told followed, the view set up anew, the mouth known.

Each is carried out by a practised hand in the true mouth, and the contacts are counted that can be
read then: both surfaces on the image, and no more enamel hidden than the question allows.
"""

from dataclasses import replace
from enum import StrEnum
from functools import cache

import numpy as np
from numpy.typing import NDArray

from bitewright.estimation.mouth_prior import mean_mouth
from bitewright.explanation.correction import Correction, Need, Part, Verdict
from bitewright.explanation.explain import Explanation
from bitewright.exposing.aim import Aim
from bitewright.exposing.exposure import Station, station
from bitewright.exposing.placement import Placement
from bitewright.exposing.project import project
from bitewright.mouth.outlines import build_outlines
from bitewright.planning.best_aim import Setting
from bitewright.planning.plan_by_odds import plan_by_odds
from bitewright.planning.stated_hands import MIDDLING, stated_hands
from bitewright.quality.criteria import Question
from bitewright.quality.measure import NOT_SEEN
from bitewright.quality.predicted import asked, rated
from bitewright.quality.questions import needs
from bitewright.quality.views import View, view
from bitewright.quality.wanted import edges
from trials.known_films import Equipment, KnownFilm, SetUp, within_reach

Floats = NDArray[np.float64]

DRAWS = 64
"""Slips of the hand that each set-up is carried out with, the same for all. Our choice."""


class Way(StrEnum):
    """How the next film of a view comes about."""

    FOLLOWED = "followed"
    """From where it was, by every movement told as needed."""
    LEARNED = "learned"
    """By the best aim of the mouth as the film lets it be estimated, all set up to that."""
    ANEW = "anew"
    """By the plan for a mouth that nobody knows."""
    KNOWN = "known"
    """By the best aim of the true mouth."""


def readable(film: KnownFilm, said: Explanation, seed: int) -> dict[Way, float]:
    """Share of the view's contacts that can be read on the next film, by how it comes about.

    A slipped film alone has the set-up to move from; without advice none is followed.
    """
    set_ups = {
        Way.LEARNED: _planned(said.plan.setting),
        Way.ANEW: general_set_up(film.view.name, film.station.outlines.codes),
        Way.KNOWN: _planned(film.best.setting),
    }
    told = said.correction
    if film.set_up is not None and is_told(told.verdict, is_unlike=told.is_unlike):
        set_ups[Way.FOLLOWED] = followed(film.set_up, told)
    errors = stated_hands()[MIDDLING].scatter.draw(np.random.default_rng(seed), DRAWS)
    return {
        way: readable_share(film.station, film.view, set_up, errors)
        for way, set_up in set_ups.items()
    }


def is_told(verdict: Verdict, *, is_unlike: bool) -> bool:
    """Whether a movement is told with its amount: not a direction alone."""
    return verdict is Verdict.MOVE and not is_unlike


def followed(from_there: SetUp, said: Correction) -> SetUp:
    """A set-up moved by all that is told as needed, the tube going along with the receptor."""
    by = {
        part: said.of(part).needed.value if said.of(part).need is Need.MOVE else 0.0
        for part in Part
    }
    place, aim = from_there.placement, from_there.aim
    return SetUp(
        placement=replace(
            place,
            forward_mm=place.forward_mm + by[Part.FORWARD],
            height_mm=place.height_mm + by[Part.HEIGHT],
            turn_deg=place.turn_deg + by[Part.TURN],
            tilt_deg=place.tilt_deg + by[Part.TILT],
            roll_deg=place.roll_deg + by[Part.ROLL],
        ),
        # The swing is told against the mouth: what a turned receptor swings is taken off.
        aim=replace(
            aim,
            ring_offset_deg=aim.ring_offset_deg + by[Part.SWING] - by[Part.TURN],
            vertical_deg=aim.vertical_deg + by[Part.VERTICAL],
        ),
    )


@cache
def general_set_up(view_name: str, codes: tuple[int, ...]) -> SetUp:
    """Where a view is set up with the usual equipment in a mouth that nobody knows."""
    of, usual = view(view_name), Equipment.usual()
    at = station(
        build_outlines(mean_mouth(codes)), of.region, usual.receptor, usual.holder, usual.tube
    )
    scatter = stated_hands()[MIDDLING].scatter
    return _planned(plan_by_odds(of, at, scatter, generator=np.random.default_rng(0)).plan.setting)


def _planned(setting: Setting) -> SetUp:
    return SetUp(placement=setting.placement(), aim=setting.aim())


def readable_share(at: Station, of_view: View, set_up: SetUp, errors: Floats) -> float:
    """Share of a view's contacts that can be read, over slips (E, 4) of a hand, as `AimPart`."""
    place, aim = set_up.placement, set_up.aim
    slipped = SetUp(
        placement=Placement(
            forward_mm=place.forward_mm + errors[:, 2],
            lingual_mm=place.lingual_mm,
            height_mm=place.height_mm + errors[:, 3],
            turn_deg=place.turn_deg,
            tilt_deg=place.tilt_deg,
            roll_deg=place.roll_deg,
        ),
        aim=Aim(
            ring_offset_deg=within_reach("ring_offset_deg", aim.ring_offset_deg + errors[:, 0]),
            vertical_deg=within_reach("vertical_deg", aim.vertical_deg + errors[:, 1]),
        ),
    )
    of = asked(of_view, at)
    projected = project(slipped.exposed(at), of.targets)
    measured = rated(*projected, of, question=Question.ENAMEL).measurements
    most = needs(Question.ENAMEL, measured.wanted).unreadable_share
    can_be_read = measured.enamel_share <= most
    for column, pair in enumerate(measured.wanted.contacts):
        for name in edges(pair):
            can_be_read[:, column] &= ~np.isin(measured.gone[name], NOT_SEEN)
    return float(np.mean(can_be_read))


__all__ = ["Way", "followed", "general_set_up", "is_told", "readable", "readable_share"]

"""What the next film shows: the movement told followed, the view set up anew, the mouth known.

Each is carried out by a practised hand in the true mouth, and the contacts are counted that can be
read then: both surfaces on the image, and no more enamel hidden than the question allows. Of real
crowns the overlaps are the crowns' own, all else being the outlines'.
"""

from dataclasses import dataclass, replace
from enum import StrEnum
from functools import cache

import numpy as np
from numpy.typing import NDArray

from bitewright.estimation.mouth_prior import mean_mouth
from bitewright.explanation.correction import Correction, Need, Part, Verdict
from bitewright.explanation.explanation import Explanation
from bitewright.explanation.next_exposure import Course
from bitewright.exposing.aim import Aim
from bitewright.exposing.exposure import Station, station
from bitewright.exposing.placement import Placement
from bitewright.exposing.project import project
from bitewright.mouth.outlines import build_outlines
from bitewright.planning import general_set_up as planning
from bitewright.planning.best_aim import Setting
from bitewright.planning.stated_hands import MIDDLING, stated_hands
from bitewright.quality.criteria import Question
from bitewright.quality.measure import NOT_SEEN
from bitewright.quality.predicted import Asked, asked, rated
from bitewright.quality.questions import needs
from bitewright.quality.views import View, view
from bitewright.quality.wanted import edges
from trials.known_films import Equipment, KnownFilm, SetUp, within_reach
from trials.project_meshes import mesh_overlaps_mm
from trials.scanned_films import ScannedView

Floats = NDArray[np.float64]

DRAWS = 64
"""Slips of the hand that each set-up is carried out with, the same for all. Our choice."""


class Way(StrEnum):
    """How the next film of a view comes about."""

    ADVISED = "advised"
    """As the explanation says: moved from where it was, or set up anew."""
    FOLLOWED = "followed"
    """From where it was, by every movement that the table says is needed."""
    LEARNED = "learned"
    """By the best aim of the mouth as the film lets it be estimated, all set up to that."""
    ANEW = "anew"
    """By the plan for a mouth that nobody knows."""
    KNOWN = "known"
    """By the best aim of the true mouth."""
    SAME = "same"
    """Put back as it was."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Readable:
    """Share of contacts that can be read, of all of a view and of those its question needs."""

    of_view: float
    of_question: float


def readable(
    film: KnownFilm, said: Explanation, seed: int, *, crowns: ScannedView | None = None
) -> dict[Way, Readable]:
    """What can be read on the next film, by how it comes about.

    A slipped film alone has the set-up to move from; without advice none is followed. ``crowns``:
    what was filmed, if not the outlines.
    """
    anew = general_set_up(film.view.name, film.station.outlines.codes)
    set_ups = {
        Way.LEARNED: _planned(said.plan.setting),
        Way.ANEW: anew,
        Way.KNOWN: _planned((film.best if crowns is None else crowns.best).setting),
    }
    told = said.correction
    if film.set_up is not None:
        set_ups[Way.SAME] = film.set_up
        if said.next is not None:
            set_ups[Way.ADVISED] = advised(film.set_up, said, anew)
        if is_told(told.verdict, is_unlike=told.is_unlike):
            set_ups[Way.FOLLOWED] = followed(film.set_up, told)
    errors = stated_hands()[MIDDLING].scatter.draw(np.random.default_rng(seed), DRAWS)
    return {
        way: readable_share(film.station, film.view, set_up, errors, crowns=crowns)
        for way, set_up in set_ups.items()
    }


def is_told(verdict: Verdict, *, is_unlike: bool) -> bool:
    """Whether a movement is told with its amount: not a direction alone."""
    return verdict is Verdict.MOVE and not is_unlike


def advised(from_there: SetUp, said: Explanation, anew: SetUp) -> SetUp:
    """What comes of doing as the explanation says; where movement and set-up differ, half way."""
    then = said.next
    if then is None:
        return from_there
    if then.course is Course.ANEW:
        return anew
    told = _planned(then.set_up)
    if then.course is Course.FITTED:
        return told
    was = from_there.aim.ring_offset_deg + from_there.placement.turn_deg
    moved = was + said.correction.of(Part.SWING).needed.value - told.placement.turn_deg
    half = 0.5 * (moved + told.aim.ring_offset_deg)
    return replace(
        told, aim=replace(told.aim, ring_offset_deg=within_reach("ring_offset_deg", half))
    )


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


def general_set_up(view_name: str, codes: tuple[int, ...]) -> SetUp:
    """Where a view is set up with the usual equipment in a mouth that nobody knows."""
    of = view(view_name)
    return _planned(planning.general_set_up(of, _usual_station(view_name, codes), Question.ENAMEL))


@cache
def _usual_station(view_name: str, codes: tuple[int, ...]) -> Station:
    usual = Equipment.usual()
    outlines = build_outlines(mean_mouth(codes))
    return station(outlines, view(view_name).region, usual.receptor, usual.holder, usual.tube)


def _planned(setting: Setting) -> SetUp:
    return SetUp(placement=setting.placement(), aim=setting.aim())


def readable_share(
    at: Station,
    of_view: View,
    set_up: SetUp,
    errors: Floats,
    *,
    crowns: ScannedView | None = None,
) -> Readable:
    """Share of contacts that can be read, over slips (E, 4) of a hand, as `AimPart`."""
    of = asked(of_view, at)
    seen = rated(*project(_slipped(set_up, errors).exposed(at), of.targets), of)
    measured = seen.measurements
    need = needs(Question.ENAMEL, measured.wanted)
    hidden_mm = measured.overlap_mm.copy()
    if crowns is not None:
        hidden_mm += _beyond_outlines_mm(at, of, set_up, errors[:, 0], crowns)
    can_be_read = hidden_mm <= need.unreadable_share * seen.scale.enamel_mm
    for column, pair in enumerate(measured.wanted.contacts):
        for name in edges(pair):
            can_be_read[:, column] &= ~np.isin(measured.gone[name], NOT_SEEN)
    needed = [need.surfaces.issuperset(edges(pair)) for pair in measured.wanted.contacts]
    return Readable(
        of_view=float(np.mean(can_be_read)), of_question=float(np.mean(can_be_read[:, needed]))
    )


def _slipped(set_up: SetUp, errors: Floats) -> SetUp:
    """What a hand with these slips (E, 4) makes of a set-up."""
    place, aim = set_up.placement, set_up.aim
    return SetUp(
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


SWUNG_DEG = np.linspace(-9.0, 9.0, 7)
"""Swings about a set-up at which real crowns are looked at. Our choice."""


def _beyond_outlines_mm(
    at: Station, of: Asked, set_up: SetUp, slips_deg: Floats, crowns: ScannedView
) -> Floats:
    """How much further than the outlines' contacts (E, C) those of real crowns overlap. [mm]

    Our model: at a set-up that hangs on the swing alone, straight between those looked at; other
    slips change both alike. Crowns that reach into one another at best count from there.
    """
    swings = np.zeros((len(SWUNG_DEG), 4))
    swings[:, 0] = SWUNG_DEG
    exposures = _slipped(set_up, swings).exposed(at)
    outlined = rated(*project(exposures, of.targets), of).measurements
    overlaps = mesh_overlaps_mm(exposures, crowns.targets, crowns.pairs)
    beyond = np.zeros((len(slips_deg), len(outlined.wanted.contacts)))
    every = zip(overlaps.T, crowns.pairs, crowns.open.least_mm, strict=True)
    for own, pair, least in every:
        column = outlined.wanted.contacts.index(pair)
        apart = np.nan_to_num(own - max(least, 0.0) - outlined.overlap_mm[:, column])
        beyond[:, column] = np.interp(slips_deg, SWUNG_DEG, apart)
    return beyond


__all__ = [
    "Readable",
    "Way",
    "advised",
    "followed",
    "general_set_up",
    "is_told",
    "readable",
    "readable_share",
]

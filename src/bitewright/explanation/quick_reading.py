"""A film read after its first marks: what to move first, and whether more marks would change that.

Quicker than an explanation: the best exposure is planned once for the population's middle mouth,
and for each mouth that the marks allow only the tube's direction is looked for anew.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import sqrt

import numpy as np
from numpy.typing import NDArray

from bitewright.estimation.estimate import Estimate
from bitewright.estimation.exposure_unknowns import NAMES, Whereabouts, exposures_at, pose_of
from bitewright.explanation.correction import (
    SD_TO_END,
    Correction,
    Estimated,
    Movement,
    Need,
    Part,
    Verdict,
)
from bitewright.explanation.doubtful_marks import NO_PICTURE, DoubtfulMark, doubtful_marks
from bitewright.explanation.drawn_states import drawn_states
from bitewright.explanation.furthest import FURTHEST, is_hopeless
from bitewright.explanation.harm import HARM
from bitewright.explanation.interval_widths import interval_width
from bitewright.explanation.likely_causes import NO_CAUSE
from bitewright.explanation.mark_slips import MarkSlips, mark_slips
from bitewright.explanation.needed_amounts import POSE_OF, grain_of, rim_slide_mm
from bitewright.explanation.needs import WORTH, is_swing_open, is_wide, need_of_few
from bitewright.explanation.next_exposure import NextExposure, next_exposure
from bitewright.explanation.partly_closed import partly_closed
from bitewright.explanation.unusual_mouths import is_at_its_bound, unlike, widening
from bitewright.exposing.aim import Aim
from bitewright.exposing.exposure import Exposures, aimed, station
from bitewright.exposing.project import project_shapes
from bitewright.exposing.seating import Seat
from bitewright.marking.picture_borders import PictureBorders
from bitewright.planning.best_aim import Plan, setting_cost
from bitewright.quality.criteria import Question
from bitewright.quality.predicted import asked, rated
from bitewright.quality.questions import AnyQuestion

Floats = NDArray[np.float64]

DRAWS = 60
AROUND_DEG = np.linspace(-12.0, 12.0, 9)
"""Where the best direction for a drawn mouth is looked for, about the plan's. Our choice."""

TOLD = (Part.SWING, Part.VERTICAL, Part.FORWARD, Part.HEIGHT, Part.ROLL)
"""What is told after few marks; teeth held apart wait for the whole explanation."""

LEFT_SD = {
    Part.SWING: 3.0,
    Part.VERTICAL: 4.0,
    Part.FORWARD: 1.8,
    Part.HEIGHT: 1.0,
    Part.ROLL: 2.5,
}
"""What all marks of a view leave open of each, as standard deviation. [deg, mm]"""

SURE_ENOUGH = 0.94
"""How likely the first movement has to stay what it is for more marks to be called needless.
Chosen on films of a fitting run, so that further marks change it on about one in thirty."""

CLEAR_GAIN = 0.05
"""A movement that gains less than this share on setting up anew may yet become that: it is not
settled. Our choice, three times and more what makes it worth telling."""


@dataclass(frozen=True, slots=True, kw_only=True)
class QuickReading:
    """What few marks say.

    Parameters
    ----------
    movements : tuple of Movement
        What is worth moving, what costs the film most first; empty where nothing is, or nothing
        can be told.
    swing : Movement
        The tube's, told or not.
    can_tell : bool
        Whether the tube's way is known well enough, as in an explanation, that an empty tuple means
        nothing.
    chance_same : float
        How likely all further marks of the view leave the first movement what it is.
    is_unlike : bool
        Whether marks or mouth are unlike those the estimate was made for: how far cannot be told.
    is_hopeless : bool
        Whether the marks fit no exposure.
    slips : MarkSlips
        What is to be asked of the marks.
    misfit, strangeness : float
        As in `Correction`.
    doubtful_marks : tuple of DoubtfulMark
        Marks to check, the one that stands out most first.
    next : NextExposure or None
        What to do next as it was weighed, of a film that does not serve; else None.
    """

    movements: tuple[Movement, ...]
    swing: Movement
    can_tell: bool
    chance_same: float
    is_unlike: bool
    is_hopeless: bool
    slips: MarkSlips
    misfit: float = 0.0
    strangeness: float = 0.0
    doubtful_marks: tuple[DoubtfulMark, ...] = ()
    next: NextExposure | None = None

    @property
    def first(self) -> Movement | None:
        """The one movement; None where nothing is to be moved or nothing can be told."""
        return self.movements[0] if self.movements else None

    @property
    def marks_come_first(self) -> bool:
        """Whether marks have to be put right before anything is told."""
        return self.is_hopeless or self.slips.come_first

    def is_settled(self, *, serves: bool | None) -> bool:
        """Whether more marks would hardly change what to do.

        ``serves``: whether the film serves its question; None where its marks do not tell yet. One
        that serves asks for no movement. Else the tube's swing alone settles, where it clearly
        gains, and not by a wide interval; never a set-up, nor anything while the picture shows a
        border elsewhere than marked.
        """
        if serves is None or self.marks_come_first or self.slips or self.shown_elsewhere:
            return False
        swings = self.first is not None and self.first.part is Part.SWING
        swings &= not is_wide(self.swing.needed)
        swings &= self.next is None or (self.next.is_moved and self.next.gain >= CLEAR_GAIN)
        return serves or (swings and self.can_tell and self.chance_same >= SURE_ENOUGH)

    @property
    def shown_elsewhere(self) -> tuple[DoubtfulMark, ...]:
        """The marks that the picture shows elsewhere than they were set."""
        return tuple(each for each in self.doubtful_marks if each.is_shown_elsewhere)

    def as_correction(self, rim_radius_mm: float) -> Correction:
        """What is told so far as a correction: the swing and what is worth moving, no cause.

        ``rim_radius_mm``: from the receptor's middle to the tube's rim. [mm]
        """
        told = [replace(each, need=need_of_few(each)) for each in self.movements]
        if all(each.part is not Part.SWING for each in told):
            told.append(replace(self.swing, need=Need.STAY if self.can_tell else Need.UNSURE))
        verdict = Verdict.MOVE if self.movements else Verdict.NOTHING
        return Correction(
            verdict=verdict if self.can_tell else Verdict.CANNOT_TELL,
            movements=tuple(told),
            causes=(NO_CAUSE,),
            settling_marks=(),
            misfit=self.misfit,
            strangeness=self.strangeness,
            is_unlike=self.is_unlike,
            doubtful_marks=self.doubtful_marks,
            rim_radius_mm=rim_radius_mm,
            beam_margin_mm=None,
            slips=self.slips,
            is_hopeless=self.is_hopeless,
        )


def quick_reading(
    found: Estimate,
    plan: Plan,
    *,
    film: int = 0,
    question: AnyQuestion = Question.ENAMEL,
    borders: Mapping[str, PictureBorders] = NO_PICTURE,
    generator: np.random.Generator,
) -> QuickReading:
    """Read one of an estimate's films.

    Our model: movements to the plan's exposure in mouths and exposures drawn from the estimate;
    further marks draw each draw's answer nearer to its truth by what they are known to leave open.

    Parameters
    ----------
    found : Estimate
    plan : Plan
        Best exposure of the film's view in the population's middle mouth, at the estimate's
        station.
    film : int
    question : AnyQuestion
    borders : mapping of landmark name to PictureBorders
        What the picture says of where marks belong, where there is one.
    generator : numpy Generator
    """
    needed = _needed(found, plan, film, question, generator)
    region = plan.view.region
    widened, grain = widening(found), grain_of(region)
    values = {part: float(each[0]) for part, each in needed.items()}
    away = {part: widened * (each[1:] - each[0]) for part, each in needed.items()}
    spread = {
        part: interval_width(region, part) * float(np.hypot(_root(off), grain.get(part, 0.0)))
        for part, off in away.items()
    }
    closed = partly_closed(found, film=film)
    is_unlike = unlike(found) or is_at_its_bound(values, FURTHEST) or bool(closed)
    first = _first(
        {part: np.array([value]) for part, value in values.items()}, spread, surely=is_unlike
    )
    later = _later(values, away, spread, surely=is_unlike)
    movements = {part: _movement(part, values[part], spread[part], plan) for part in TOLD}
    order = [] if closed else _order(values, spread, surely=is_unlike)
    swing = movements[Part.SWING].needed
    landmarks, beside = found.films[film].landmarks, found.left_out[film]
    doubted = doubtful_marks(beside, landmarks.front_sign, borders)
    return QuickReading(
        movements=tuple(movements[part] for part in order),
        swing=movements[Part.SWING],
        can_tell=not (bool(closed) or is_swing_open(swing, serves=False)),
        chance_same=float(np.mean(later == first[0])),
        is_unlike=is_unlike,
        is_hopeless=is_hopeless(found, values),
        slips=mark_slips(landmarks, beside, doubted),
        misfit=found.misfit,
        strangeness=found.strangeness,
        doubtful_marks=doubted,
    )


def with_next(
    reading: QuickReading,
    found: Estimate,
    plan: Plan,
    *,
    film: int = 0,
    question: AnyQuestion = Question.ENAMEL,
    generator: np.random.Generator,
) -> QuickReading:
    """A reading with what to do next, weighed as an explanation weighs it; parameters as there.

    Nothing where the marks come first.
    """
    if reading.marks_come_first:
        return reading
    at = found.films[film].station
    there = station(found.shapes.outlines, at.region, at.receptor, at.holder, at.tube)
    then = next_exposure(
        found,
        replace(plan, station=there),
        swing_deg=_sure_swing_deg(reading),
        is_unlike=reading.is_unlike,
        film=film,
        question=question,
        generator=generator,
    )
    return replace(reading, next=then)


def _sure_swing_deg(reading: QuickReading) -> float | None:
    """The tube's swing where it is told with its amount, of marks that are believed. [deg]"""
    told = any(each.part is Part.SWING for each in reading.movements)
    sure = told and reading.can_tell and need_of_few(reading.swing) is Need.MOVE
    return reading.swing.needed.value if sure and not reading.slips else None


def _needed(
    found: Estimate, plan: Plan, film: int, question: AnyQuestion, generator: np.random.Generator
) -> dict[Part, Floats]:
    """Movements (1 + DRAWS) by part: the best fit's, then those of what is drawn."""
    at = found.films[film].station
    states = np.vstack([found.solutions[0].state, drawn_states(found, DRAWS, generator)])
    count = len(NAMES) * len(found.films)
    unknowns = states[:, :count].reshape(len(states), len(found.films), -1)[:, film]
    best = _best(found, plan, states[:, count:], question)
    along = (at.seating.frame.front_mouth, at.seating.frame.tongue_mouth)
    start, end = pose_of(exposures_at(at, unknowns), *along), pose_of(best, *along)
    return {part: _between(start, end, POSE_OF[part]) for part in TOLD}


def _between(start: Whereabouts, end: Whereabouts, name: str) -> Floats:
    return np.asarray(getattr(end, name) - getattr(start, name))


def _best(found: Estimate, plan: Plan, amounts: Floats, question: AnyQuestion) -> Exposures:
    """The plan's exposure in each mouth (M, N), its tube where that mouth's contacts open best."""
    of = asked(plan.view, plan.station)
    shapes = found.shapes.of(amounts, of.targets)
    tried = plan.setting.ring_offset_deg + AROUND_DEG
    exposures = _at_plan(plan, np.tile(tried, len(amounts)))
    mouth_of = np.repeat(np.arange(len(amounts)), len(tried))
    projected = project_shapes(exposures, of.targets, shapes, mouth_of=mouth_of)
    cost = setting_cost(rated(*projected, of, question=question), exposures)
    return _at_plan(plan, _least(tried, np.log(cost.reshape(len(amounts), -1))))


def _at_plan(plan: Plan, ring_offset_deg: Floats) -> Exposures:
    """Exposures (E,) with the plan's receptor and the tube swung."""
    seat = plan.exposure.seat
    one = np.zeros(len(ring_offset_deg), dtype=np.intp)
    seats = Seat(*(getattr(seat, name)[one] for name in Seat.__slots__))
    vertical = np.full(len(one), plan.setting.vertical_deg)
    return aimed(plan.station, seats, Aim(ring_offset_deg=ring_offset_deg, vertical_deg=vertical))


def _least(tried: Floats, cost: Floats) -> Floats:
    """Where each row's cost (M, K) is least, between the places tried by a parabola."""
    row = np.arange(len(cost))
    k = np.clip(cost.argmin(axis=1), 1, len(tried) - 2)
    below, here, above = (cost[row, k + step] for step in (-1, 0, 1))
    with np.errstate(invalid="ignore", divide="ignore"):
        shift = 0.5 * (below - above) / (below - 2.0 * here + above)
    return np.asarray(tried[k] + np.clip(np.nan_to_num(shift), -1.0, 1.0) * (tried[1] - tried[0]))


def _root(away: Floats) -> float:
    return float(np.sqrt(np.mean(away**2)))


def _later(
    values: dict[Part, float],
    away: dict[Part, Floats],
    spread: dict[Part, float],
    *,
    surely: bool,
) -> NDArray[np.int64]:
    """What would be moved first once all marks are set, for each draw, as by `_first`."""
    left = {part: min(spread[part], LEFT_SD[part]) for part in TOLD}
    learned = {
        part: sqrt(1.0 - (left[part] / spread[part]) ** 2) * spread[part] / max(_root(off), 1e-9)
        for part, off in away.items()
    }
    then = {part: values[part] + learned[part] * off for part, off in away.items()}
    return _first(then, left, surely=surely)


def _first(
    values: dict[Part, Floats], spread: dict[Part, float], *, surely: bool
) -> NDArray[np.int64]:
    """Of each film (D): 0 where nothing is worth moving, else which part comes first and its way.

    Parts count from 1 in the order of `TOLD`, negative where the movement is.
    """
    harm = np.stack([_harm(part, values[part], spread[part], surely=surely) for part in TOLD])
    which = harm.argmax(axis=0)
    column = np.arange(harm.shape[1])
    way = np.sign(np.stack([values[part] for part in TOLD])[which, column])
    return np.asarray(np.where(harm[which, column] > 0.0, (1 + which) * way, 0), dtype=np.int64)


def _order(values: dict[Part, float], spread: dict[Part, float], *, surely: bool) -> list[Part]:
    """Parts worth moving, what costs the film most first."""
    harm = {
        part: float(_harm(part, np.array([values[part]]), spread[part], surely=surely)[0])
        for part in TOLD
    }
    return sorted((part for part in TOLD if harm[part] > 0.0), key=lambda part: -harm[part])


def _harm(part: Part, value: Floats, sd: float, *, surely: bool) -> Floats:
    """What each amount (D) costs a film, nought where it is not worth moving or not sure enough."""
    size = np.abs(value)
    sure = size > SD_TO_END * sd
    if not surely:
        sure |= size > 1.5 * WORTH[part]
    cost = size / HARM[part] * size**2 / (size**2 + sd**2 + 1e-9)
    return np.asarray(np.where((size >= WORTH[part]) & sure, cost, 0.0))


def _movement(part: Part, value: float, sd: float, plan: Plan) -> Movement:
    either = SD_TO_END * sd
    needed = Estimated(value=value, low=value - either, high=value + either)
    rim = rim_slide_mm(part, needed, plan.station.holder.ring_to_receptor_mm)
    return Movement(part=part, needed=needed, need=Need.MOVE, rim=rim)


__all__ = ["QuickReading", "quick_reading", "with_next"]

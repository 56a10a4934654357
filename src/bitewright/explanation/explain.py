"""Explain a marked film: which way it was off, by how much, what to move, how sure that is."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.special import stdtrit

from bitewright.estimation.estimate import Estimate
from bitewright.estimation.left_out import MarksLeftOut
from bitewright.estimation.settling import settling_marks
from bitewright.explanation.correction import (
    COVERAGE,
    SD_TO_END,
    Cause,
    CauseName,
    Correction,
    Estimated,
    Movement,
    Need,
    Part,
    Verdict,
    unit_of,
)
from bitewright.explanation.interval_widths import interval_width
from bitewright.explanation.mark_slips import mark_slips
from bitewright.explanation.needed_movement import NeededMovement, needed_movement
from bitewright.exposing.exposure import Exposures
from bitewright.exposing.project import beam_left_mm
from bitewright.marking.mark_order import mark_order
from bitewright.planning.best_aim import Plan
from bitewright.quality.criteria import CriterionName, Question, criteria
from bitewright.quality.questions import AnyQuestion
from bitewright.quality.views import View
from bitewright.row_bands import ALONE, Threads
from bitewright.steps import Begin, unwatched

Floats = NDArray[np.float64]

WORTH = {
    Part.SWING: 3.0,
    Part.VERTICAL: 4.0,
    Part.FORWARD: 2.0,
    Part.HEIGHT: 1.5,
    Part.TURN: 6.0,
    Part.TILT: 6.0,
    Part.ROLL: 3.0,
    Part.CLOSURE: 1.0,
}
"""Below this a movement is not worth telling anybody to make. Our choice. [deg, mm]"""

HARM = {
    Part.SWING: 5.0,
    Part.VERTICAL: 6.0,
    Part.FORWARD: 3.0,
    Part.HEIGHT: 1.5,
    Part.ROLL: 4.0,
    Part.CLOSURE: 3.5,
}
"""How much of each about costs a film the same: what causes are ranked by. Our choice. [deg, mm]

The receptor's turn and tilt are no causes of their own: a film shows the beam against the teeth and
hardly which of ring and receptor was askew, so they count with the swing and the vertical angle.
"""

LEAST_CAUSE = 0.7
"""Causes are named from this share of what is worth moving. Our choice."""

OF_PLACE = (
    CauseName.RECEPTOR_TOO_FAR_FORWARD,
    CauseName.RECEPTOR_TOO_FAR_BACK,
    CauseName.RECEPTOR_TOO_HIGH,
    CauseName.RECEPTOR_TOO_LOW,
)
"""Teeth stay apart where palate or floor holds a misplaced receptor, so its place comes first."""

EFFECT_SHARE = 0.5
"""Unless it accounts for less than this share of what the teeth apart do. Our choice."""

GRAIN = {Part.SWING: 1.1, Part.VERTICAL: 1.7, Part.FORWARD: 1.0, Part.HEIGHT: 0.5}
"""Standard deviation of a plan from one mouth to another just like it. Our choice. [deg, mm]"""

WIDEST_DEG = 24.0
"""A swing whose interval is wider cannot be told. Our choice."""

BOTH_WAYS_DEG = 7.0
"""Nor one that may be needed this much either way: less opens hardly any contact. Our choice."""

FURTHEST = {
    Part.SWING: 40.0,
    Part.VERTICAL: 25.0,
    Part.FORWARD: 18.0,
    Part.HEIGHT: 9.0,
    Part.TURN: 40.0,
    Part.TILT: 35.0,
    Part.ROLL: 25.0,
    Part.CLOSURE: 15.0,
}
"""No exposure that a mouth allows is further off than this. Our choice. [deg, mm]"""

HOPELESS_MISFIT = 4.0
"""Marks that misfit more fit no exposure of any mouth. Our choice."""

DOUBTFUL_SD = 3.1
"""Marks further than this from where the others lead one to expect them are named. Chosen so that
of marks on real crowns of a fitting run about one in fifty is."""

UNLIKE_MISFIT, UNLIKE_MOUTH = 2.0, 1.2
"""Misfit of the marks, and strangeness of the mouth, above which they are unlike those the estimate
was made for. Chosen on films of a fitting run, of mouths of the population and beyond it."""

CAUSES = {
    Part.SWING: (CauseName.TUBE_TOO_FAR_FORWARD, CauseName.TUBE_TOO_FAR_BACK),
    Part.VERTICAL: (CauseName.TUBE_TOO_HIGH, CauseName.TUBE_TOO_LOW),
    Part.FORWARD: (CauseName.RECEPTOR_TOO_FAR_FORWARD, CauseName.RECEPTOR_TOO_FAR_BACK),
    Part.HEIGHT: (CauseName.RECEPTOR_TOO_HIGH, CauseName.RECEPTOR_TOO_LOW),
    Part.ROLL: (CauseName.RECEPTOR_ROLLED_FRONT_DOWN, CauseName.RECEPTOR_ROLLED_FRONT_UP),
    Part.CLOSURE: (CauseName.NOT_CLOSED, CauseName.NOT_CLOSED),
}
"""Cause by what it needs: a movement below nought, or above."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Explanation:
    """A correction and the two exposures it lies between."""

    correction: Correction
    now: Exposures
    plan: Plan
    estimate: Estimate


def explain(
    found: Estimate,
    view: View,
    *,
    film: int = 0,
    question: AnyQuestion = Question.ENAMEL,
    slope_deg: float | None = None,
    generator: np.random.Generator,
    threads: Threads = ALONE,
    begin: Begin = unwatched,
) -> Explanation:
    """From an estimate to the correction of one of its films.

    Our model: movements to the best exposure in mouths and exposures drawn from the estimate; the
    interval is theirs, wider where the marks lie further from the estimate than expected.

    Parameters
    ----------
    found : Estimate
    view : View
    film : int
        Which of the estimate's.
    question : AnyQuestion
    slope_deg : float, optional
        Of the occlusal plane, as marked: a film that is level as it is needs no levelling. [deg]
    generator, threads, begin
    """
    needed = needed_movement(
        found,
        view,
        film=film,
        question=question,
        generator=generator,
        threads=threads,
        begin=begin,
    )
    widened = float(np.sqrt(max(found.misfit, 1.0)))
    widths = {part: widened * interval_width(view.region, part) for part in Part}
    amounts = {part: _amount(part, needed, widths[part]) for part in Part}
    radius = found.films[film].station.holder.ring_to_receptor_mm
    is_unlike = found.misfit > UNLIKE_MISFIT or found.strangeness > UNLIKE_MOUTH
    needs = {part: _need(part, amount, surely=is_unlike) for part, amount in amounts.items()}
    of_hand = _of_hand(amounts, needed, widths[Part.HEIGHT])
    if slope_deg is not None and _is_level(slope_deg):
        needs[Part.ROLL] = Need.STAY
        del of_hand[Part.ROLL]
    held_by = _held_by(needed, amounts, of_hand, needs)
    if held_by is not None:
        amounts[held_by], needs[held_by] = of_hand[held_by], Need.MOVE
        needs[Part.CLOSURE] = Need.STAY
        del of_hand[Part.CLOSURE]
    movements = tuple(
        Movement(part=part, needed=amount, need=needs[part], rim=_rim(part, amount, radius))
        for part, amount in amounts.items()
    )
    beside = found.left_out[film]
    slips = mark_slips(found.films[film].landmarks, beside)
    is_hopeless = found.misfit > HOPELESS_MISFIT or any(
        abs(amount.value) > FURTHEST[part] for part, amount in amounts.items()
    )
    verdict = _verdict(amounts[Part.SWING], movements)
    settling = (
        settling_marks(found, film, among=mark_order(view))
        if verdict is Verdict.CANNOT_TELL or _width(amounts[Part.SWING]) > 0.7 * WIDEST_DEG
        else ()
    )
    correction = Correction(
        verdict=verdict,
        movements=tuple(sorted(movements, key=lambda each: -_harm(each.part, each.needed))),
        causes=_causes({} if verdict is Verdict.NOTHING else of_hand),
        settling_marks=settling,
        misfit=found.misfit,
        strangeness=found.strangeness,
        is_unlike=is_unlike,
        doubtful_marks=_doubtful(beside),
        rim_radius_mm=radius,
        beam_margin_mm=float(beam_left_mm(needed.plan.exposure)[0]),
        slips=slips,
        is_hopeless=is_hopeless,
        held_by=held_by,
    )
    if correction.marks_come_first:
        correction = _told_nothing(correction)
    return Explanation(correction=correction, now=needed.now, plan=needed.plan, estimate=found)


HELD_MM = 1.0
"""A receptor set so far too high or too low holds teeth apart that stay so. Our choice."""


def _held_by(
    needed: NeededMovement,
    amounts: dict[Part, Estimated],
    of_hand: dict[Part, Estimated],
    needs: dict[Part, Need],
) -> Part | None:
    """Which misplacement of the receptor keeps teeth apart, if one does: it is mended, not bitten.

    A receptor set too high is held down by the palate, one set too low held up by the floor; one
    too far to the front lies where both are shallow.
    """
    if amounts[Part.CLOSURE].value < WORTH[Part.CLOSURE]:
        return None
    seat, height = needed.now.seat, of_hand[Part.HEIGHT].value
    by_palate = float(seat.upper_gap_mm[0]) >= float(seat.lower_gap_mm[0])
    if abs(height) >= HELD_MM and (height < 0.0) is by_palate:
        return Part.HEIGHT
    if needs[Part.FORWARD] is Need.MOVE and amounts[Part.FORWARD].value < 0.0:
        return Part.FORWARD
    return None


POSE_OF = {
    Part.SWING: "azimuth_deg",
    Part.VERTICAL: "vertical_deg",
    Part.FORWARD: "forward_mm",
    Part.HEIGHT: "height_mm",
    Part.TURN: "turn_deg",
    Part.TILT: "tilt_deg",
    Part.ROLL: "roll_deg",
    Part.CLOSURE: "closure_mm",
}
"""Field of `Pose` that each part changes."""


def _amount(part: Part, needed: NeededMovement, widened: float) -> Estimated:
    """The plan's difference, with the draws' spread, so many times as wide."""
    value = float(getattr(needed.centre, POSE_OF[part])[0])
    draws = getattr(needed.draws, POSE_OF[part])
    return _spread_about(value, draws, GRAIN.get(part, 0.0), widened)


def _of_hand(
    amounts: dict[Part, Estimated], needed: NeededMovement, widened: float
) -> dict[Part, Estimated]:
    """Amounts as causes: where teeth are held apart, only the hand's part of the height is one."""
    if abs(amounts[Part.CLOSURE].value) < WORTH[Part.CLOSURE]:
        return dict(amounts)
    grain = GRAIN[Part.HEIGHT]
    reseated = _spread_about(needed.reseat_mm, needed.reseat_draws_mm, grain, widened)
    return amounts | {Part.HEIGHT: reseated}


def _spread_about(value: float, draws: Floats, grain_sd: float, widened: float) -> Estimated:
    """As far as Student's t reaches for so few draws, whose own outer ones would hold too little.

    Source: Student, Biometrika 1908;6:1-25 (a further draw's interval, from memory).
    """
    reach = float(stdtrit(len(draws) - 1, 0.5 * (1.0 + COVERAGE)))
    spread = reach * np.sqrt(1.0 + 1.0 / len(draws)) * np.std(draws, ddof=1)
    either = widened * float(np.hypot(spread, SD_TO_END * grain_sd))
    return Estimated(value=value, low=value - either, high=value + either)


def _need(part: Part, amount: Estimated, *, surely: bool) -> Need:
    """Whether to move; ``surely`` asks for an interval that leaves no doubt of the direction."""
    worth = WORTH[part]
    if part in (Part.TURN, Part.TILT):
        # What a film hardly shows is only ever said where it is plain.
        return Need.MOVE if amount.beyond(worth) else Need.UNSURE
    if abs(amount.value) < worth:
        return Need.UNSURE if amount.low < -2.0 * worth and amount.high > 2.0 * worth else Need.STAY
    large = abs(amount.value) > 1.5 * worth and not surely
    return Need.MOVE if amount.beyond(0.0) or large else Need.UNSURE


def _is_level(slope_deg: float) -> bool:
    return abs(slope_deg) <= criteria()[CriterionName.LEVEL].met


def _rim(part: Part, amount: Estimated, radius_mm: float) -> Estimated | None:
    if part not in (Part.SWING, Part.VERTICAL):
        return None
    value, low, high = (
        float(radius_mm * np.sin(np.deg2rad(each)))
        for each in (amount.value, amount.low, amount.high)
    )
    return Estimated(value=value, low=low, high=high)


def _verdict(swing: Estimated, movements: tuple[Movement, ...]) -> Verdict:
    both = swing.low < -BOTH_WAYS_DEG and swing.high > BOTH_WAYS_DEG
    if both or _width(swing) > WIDEST_DEG:
        return Verdict.CANNOT_TELL
    moving = any(each.need is Need.MOVE for each in movements)
    return Verdict.MOVE if moving else Verdict.NOTHING


def _told_nothing(correction: Correction) -> Correction:
    """The same where the marks must be put right first: no movement, no cause."""
    nothing = Estimated(value=0.0, low=0.0, high=0.0)
    return replace(
        correction,
        verdict=Verdict.CANNOT_TELL,
        movements=tuple(replace(each, need=Need.UNSURE) for each in correction.movements),
        causes=(Cause(name=CauseName.NONE, size=nothing, unit="", weight=1.0),),
        settling_marks=(),
    )


def _doubtful(beside: MarksLeftOut) -> tuple[str, ...]:
    """Marks that lie far from where all others lead one to expect them, the furthest first."""
    far = [name for name, off in beside.off_sd.items() if off > DOUBTFUL_SD]
    return tuple(sorted(far, key=lambda name: -beside.off_sd[name]))


def _width(amount: Estimated) -> float:
    return amount.high - amount.low


def _harm(part: Part, amount: Estimated) -> float:
    """Size against what costs a film about the same, less what may be chance."""
    if part not in HARM:
        return 0.0
    size = abs(amount.value)
    return size / HARM[part] * size**2 / (size**2 + amount.sd**2 + 1e-9)


def _causes(amounts: dict[Part, Estimated]) -> tuple[Cause, ...]:
    harms = {part: _harm(part, amounts[part]) for part in HARM if part in amounts}
    total = sum(harms.values())
    causes = [
        _cause(part, amounts[part], harms[part] / total)
        for part in harms
        if abs(amounts[part].value) >= LEAST_CAUSE * WORTH[part]
    ]
    if not causes:
        nothing = Estimated(value=0.0, low=0.0, high=0.0)
        return (Cause(name=CauseName.NONE, size=nothing, unit="", weight=1.0),)
    placed = max((cause.weight for cause in causes if cause.name in OF_PLACE), default=0.0)

    def rank(cause: Cause) -> float:
        if cause.name is CauseName.NOT_CLOSED and placed >= EFFECT_SHARE * cause.weight:
            return placed - 1e-6
        return cause.weight

    return tuple(sorted(causes, key=rank, reverse=True))


def _cause(part: Part, needed: Estimated, weight: float) -> Cause:
    below, above = CAUSES[part]
    if needed.value < 0.0:
        size = Estimated(value=-needed.value, low=max(-needed.high, 0.0), high=-needed.low)
        return Cause(name=below, size=size, unit=unit_of(part), weight=weight)
    size = Estimated(value=needed.value, low=max(needed.low, 0.0), high=needed.high)
    return Cause(name=above, size=size, unit=unit_of(part), weight=weight)


__all__ = ["CAUSES", "POSE_OF", "WORTH", "Explanation", "explain"]

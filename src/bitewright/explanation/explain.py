"""Explain a marked film: which way it was off, by how much, what to move, how sure that is."""

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from bitewright.equipment.holders import Holder
from bitewright.estimation.estimate import Estimate
from bitewright.estimation.exposure_unknowns import NAMES, usual_unknowns
from bitewright.estimation.settling import settling_marks
from bitewright.explanation.answered_bite import stands_against_marks, without_closing
from bitewright.explanation.chairside_answers import ChairsideQuestion
from bitewright.explanation.chairside_questions import answered_amounts, foresaw, most_telling
from bitewright.explanation.correction import (
    Cause,
    CauseName,
    Correction,
    Estimated,
    HeldApart,
    Movement,
    Need,
    Part,
    Verdict,
)
from bitewright.explanation.doubtful_marks import doubtful_marks
from bitewright.explanation.explanation import Explanation
from bitewright.explanation.furthest import FURTHEST, is_hopeless
from bitewright.explanation.harm import HARM
from bitewright.explanation.held_apart import freed_teeth, held_by, told_as_held
from bitewright.explanation.interval_widths import interval_width
from bitewright.explanation.likeliest_faults import (
    Anatomy,
    FaultStates,
    FilmInformation,
    fault_states,
    likeliest_faults,
)
from bitewright.explanation.likely_causes import CAUSES, NO_CAUSE, SURE, likely_causes
from bitewright.explanation.mark_slips import mark_slips
from bitewright.explanation.needed_amounts import (
    GRAIN,
    grain_of,
    height_of_hand,
    needed_amount,
    rim_slide_mm,
    ring_offset_of,
)
from bitewright.explanation.needed_movement import NeededMovement, needed_movement
from bitewright.explanation.needs import (
    TOLD,
    UNKNOWN,
    WIDEST_DEG,
    AsMarked,
    is_swing_open,
    need_of,
    need_of_serving,
    verdict_of,
)
from bitewright.explanation.next_exposure import next_exposure
from bitewright.explanation.one_answer import (
    asks_for_another_way,
    is_worth_another_way,
    one_answer,
)
from bitewright.explanation.partly_closed import partly_closed
from bitewright.explanation.purpose_first import purpose_first
from bitewright.explanation.set_up_ways import as_borne_out, is_to_be_borne_out, usual_goes
from bitewright.explanation.shown_row import as_lacked, row_lacked
from bitewright.explanation.unusual_mouths import is_at_its_bound, unlike, widening
from bitewright.exposing.project import beam_left_mm
from bitewright.marking.mark_order import mark_order
from bitewright.planning.best_aim import Plan
from bitewright.quality.criteria import Question
from bitewright.quality.questions import AnyQuestion
from bitewright.quality.views import View
from bitewright.row_bands import ALONE, Threads
from bitewright.steps import Begin, unwatched


def explain(
    found: Estimate,
    view: View,
    *,
    film: int = 0,
    question: AnyQuestion = Question.ENAMEL,
    marked: AsMarked = UNKNOWN,
    generator: np.random.Generator,
    threads: Threads = ALONE,
    begin: Begin = unwatched,
) -> Explanation:
    """From an estimate to the correction of one of its films.

    Our model: movements to the best exposure in mouths and exposures drawn from the estimate; the
    interval is theirs, wider by what outlines leave out of real crowns' best aim, and where marks
    or mouth are more unusual than was to be expected.

    Parameters
    ----------
    found : Estimate
    view : View
    film : int
        Which of the estimate's.
    question : AnyQuestion
    marked : AsMarked, optional
        What the film shows as it is marked, and what was answered of it.
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
    correction = film_correction(found, view, needed, film=film, marked=marked)
    if correction.marks_come_first or correction.closed_spaces:
        correction = _told_nothing(correction, serves=marked.serves)
    then = None
    if asks_for_another_way(correction, marked):
        begin("the next exposure")
        sure = correction.sure_swing
        then = next_exposure(
            found,
            needed.plan,
            swing_deg=None if sure is None else sure.needed.value,
            is_unlike=correction.is_unlike,
            film=film,
            question=question,
            generator=generator,
            threads=threads,
        )
    is_kept = then is not None and not is_worth_another_way(then, marked)
    then = None if is_kept else then
    if not is_kept and is_to_be_borne_out(correction):
        goes = then.goes if then else usual_goes(found, needed.plan, film=film, question=question)
        correction = as_borne_out(correction, goes)
    correction = one_answer(correction, then, serves=marked.serves, is_kept=is_kept)
    return Explanation(
        correction=correction, now=needed.now, plan=needed.plan, estimate=found, next=then
    )


def film_correction(
    found: Estimate,
    view: View,
    needed: NeededMovement,
    *,
    film: int = 0,
    marked: AsMarked = UNKNOWN,
) -> Correction:
    """The correction, of marks that are believed; parameters as those of `explain`."""
    widths = {part: widening(found) * interval_width(view.region, part) for part in Part}
    grain = grain_of(view.region)
    amounts = _amounts(needed, grain, widths)
    of_hand = amounts | {Part.HEIGHT: height_of_hand(amounts, needed, widths[Part.HEIGHT])}
    holder = found.films[film].station.holder
    states = _fault_states(found, needed, amounts, film=film)
    likely = foresaw(states, marked.answers)
    if likely is not None:
        amounts, of_hand = (answered_amounts(each, states, likely) for each in (amounts, of_hand))
    against = stands_against_marks(marked.answers, states, likely, amounts[Part.CLOSURE])
    touched = marked.answers.get(ChairsideQuestion.BITE, False) and not against
    needs = _needs(amounts, serves=marked.serves)
    faults = likeliest_faults(states, likely)
    held = None if touched else held_by(amounts, faults)
    if touched:
        of_hand = without_closing(amounts, needs)
    if held is not None:
        of_hand = freed_teeth(held, amounts, of_hand, needs, faults)
    if marked.is_level:
        needs[Part.ROLL] = Need.STAY
        del of_hand[Part.ROLL]
    causes = likely_causes(of_hand, faults, needs)
    if marked.serves:
        needs = {part: need_of_serving(part, amounts[part], need) for part, need in needs.items()}
    needs |= _left_open(causes, needs)
    beside, landmarks = found.left_out[film], found.films[film].landmarks
    closed = partly_closed(found, film=film)
    values = {part: each.value for part, each in amounts.items()}
    is_unlike = unlike(found) or bool(closed) or is_at_its_bound(values, FURTHEST)
    movements = _movements(amounts, needs, needed, marked, held)
    if held is None or held.by is not Part.FORWARD:
        movements = as_lacked(movements, row_lacked(landmarks, needed.now, needed.plan))
    causes = causes if _may_move(movements) else (NO_CAUSE,)
    verdict = verdict_of(amounts[Part.SWING], movements, serves=marked.serves)
    asks = not (marked.serves or _is_sure(causes))
    settling = () if marked.serves else _settling(found, view, film, amounts[Part.SWING], verdict)
    cannot = is_unlike or verdict is Verdict.CANNOT_TELL
    offset = None if cannot else ring_offset_of(needed, grain[Part.SWING], widths[Part.SWING])
    doubted = doubtful_marks(beside, landmarks.front_sign, marked.borders)
    return Correction(
        verdict=verdict,
        movements=purpose_first(_ranked(movements, causes), marked.lacked),
        causes=causes,
        settling_marks=settling,
        misfit=found.misfit,
        strangeness=found.strangeness,
        is_unlike=is_unlike,
        doubtful_marks=doubted,
        rim_radius_mm=holder.ring_to_receptor_mm,
        beam_margin_mm=float(beam_left_mm(needed.plan.exposure)[0]),
        slips=mark_slips(landmarks, beside, doubted),
        is_hopeless=is_hopeless(found, values),
        closed_spaces=closed,
        of_known_mouth=not found.shapes.along,
        ring_offset=offset,
        held_by=held,
        answers=marked.answers,
        bite_against_marks=against,
        asks=most_telling(states, marked.answers, ring=holder.ring) if asks else None,
    )


def _needs(amounts: Mapping[Part, Estimated], *, serves: bool) -> dict[Part, Need]:
    needs = {part: need_of(part, amount) for part, amount in amounts.items()}
    if is_swing_open(amounts[Part.SWING], serves=serves):
        needs[Part.SWING] = Need.UNSURE
    return needs


def _amounts(
    needed: NeededMovement, grain: Mapping[Part, float], widths: Mapping[Part, float]
) -> dict[Part, Estimated]:
    return {
        part: needed_amount(part, needed, grain.get(part, 0.0), width)
        for part, width in widths.items()
    }


def _movements(
    amounts: Mapping[Part, Estimated],
    needs: Mapping[Part, Need],
    needed: NeededMovement,
    marked: AsMarked,
    held: HeldApart | None,
) -> tuple[Movement, ...]:
    holder = needed.plan.station.holder
    measured_mm = _measured_closing_mm(needed.plan, marked)
    return tuple(
        told_as_held(_movement(part, amount, needs[part], holder, measured_mm), held)
        for part, amount in amounts.items()
    )


def _is_sure(causes: tuple[Cause, ...]) -> bool:
    """Whether one cause is told, and none in its place."""
    return causes[0].chance >= SURE and causes[0].name is not CauseName.NONE


def _left_open(causes: tuple[Cause, ...], needs: Mapping[Part, Need]) -> dict[Part, Need]:
    """What mends a cause that may be the first one's alternative is open, where none was told."""
    names = {each.name for each in causes if each.is_alternative}
    return {
        part: Need.UNSURE
        for part, need in needs.items()
        if need is Need.STAY and names.intersection(CAUSES.get(part, ()))
    }


def _fault_states(
    found: Estimate, needed: NeededMovement, amounts: dict[Part, Estimated], *, film: int
) -> FaultStates:
    """Faults that a hand may have made: as sure as the amounts are, and by palate and floor."""
    own = slice(len(NAMES) * film, len(NAMES) * (film + 1))
    now, best = needed.now.seat, needed.plan.exposure.seat
    # Of the height, what palate and floor did is no movement of the hand.
    held = float(best.upper_gap_mm[0] - now.upper_gap_mm[0])
    centre = {part: amount.value for part, amount in amounts.items()}
    centre[Part.HEIGHT] += held
    anatomy = Anatomy.about(
        needed.plan.setting, needed.plan.station.seating, found.unknowns[film], centre
    )
    sd = {part: amount.sd for part, amount in amounts.items()}
    sd[Part.HEIGHT] = float(np.hypot(np.std(needed.reseat_draws_mm, ddof=1), GRAIN[Part.HEIGHT]))
    told = FilmInformation.of(
        found.unknowns[film],
        found.covariance[own, own],
        usual_unknowns(found.films[film].station),
        sd,
    )
    return fault_states(told, anatomy)


def _movement(
    part: Part, amount: Estimated, need: Need, holder: Holder, measured_mm: float | None
) -> Movement:
    return Movement(
        part=part,
        needed=amount,
        need=need,
        rim=rim_slide_mm(part, amount, holder.ring_to_receptor_mm),
        measured_mm=measured_mm if part is Part.CLOSURE else None,
    )


def _measured_closing_mm(plan: Plan, marked: AsMarked) -> float | None:
    """How much more the teeth measure apart than at the best exposure, both measured alike. [mm]"""
    if marked.teeth_apart_mm is None:
        return None
    more_mm = marked.teeth_apart_mm - float(plan.prediction.measurements.closure_mm[0])
    return more_mm if np.isfinite(more_mm) else None


def _may_move(movements: tuple[Movement, ...]) -> bool:
    return any(each.need in TOLD for each in movements)


def _settling(
    found: Estimate, view: View, film: int, swing: Estimated, verdict: Verdict
) -> tuple[str, ...]:
    """Marks that would settle a swing that these leave open, or nearly."""
    if verdict is not Verdict.CANNOT_TELL and _width(swing) <= 0.7 * WIDEST_DEG:
        return ()
    return settling_marks(found, film, among=mark_order(view))


def _told_nothing(correction: Correction, *, serves: bool) -> Correction:
    """The same where marks come first, or of a mouth that is not known: no movement, no cause."""
    kept = serves and not correction.marks_come_first
    return replace(
        correction,
        verdict=Verdict.NOTHING if kept else Verdict.CANNOT_TELL,
        movements=tuple(replace(each, need=Need.UNSURE) for each in correction.movements),
        causes=(NO_CAUSE,),
        settling_marks=(),
        asks=None,
    )


def _width(amount: Estimated) -> float:
    return amount.high - amount.low


def _ranked(movements: tuple[Movement, ...], causes: tuple[Cause, ...]) -> list[Movement]:
    return sorted(movements, key=lambda each: -_rank(each, causes))


def _rank(movement: Movement, causes: tuple[Cause, ...]) -> float:
    """How important a movement is: by the cause it mends, or else by its own size."""
    mends = CAUSES.get(movement.part, ())
    weights = [cause.weight for cause in causes if cause.name in mends]
    size = abs(movement.needed.value) / HARM.get(movement.part, np.inf)
    return max(weights, default=0.0) + TIES * size


TIES = 1e-6


__all__ = ["explain", "film_correction"]

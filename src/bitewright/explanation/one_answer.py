"""One answer: what is told as needed, the next exposure and what both come to agree.

A film that serves asks for no movement; one that may not serve is never told that nothing needs to
move beside a view that is set up anew; nothing is told as needed that the next exposure leaves out,
and no cause before one whose movement is surer.
"""

from dataclasses import replace

from bitewright.explanation.correction import Correction, Movement, Need, Spared, Verdict
from bitewright.explanation.likely_causes import as_needed
from bitewright.explanation.needs import AsMarked
from bitewright.explanation.next_exposure import NextExposure


def asks_for_another_way(correction: Correction, marked: AsMarked) -> bool:
    """Whether it is weighed what to do next: else the set-up is kept.

    Not of a film that serves, nor while the marks have to be put right or a fault that was seen is
    mended; and where nothing likely failed only to mend what surely was off.
    """
    if marked.serves or marked.mended_first or correction.marks_come_first:
        return False
    return marked.likely_failed or any(each.need is Need.MOVE for each in correction.movements)


def is_worth_another_way(then: NextExposure, marked: AsMarked) -> bool:
    """Whether what was weighed is told: where nothing likely failed, only if it promises more."""
    return marked.likely_failed or then.promises_more


def one_answer(
    correction: Correction,
    then: NextExposure | None = None,
    *,
    serves: bool = False,
    is_kept: bool = False,
) -> Correction:
    """The same, its needs and verdict as they are told with what is done next.

    A movement that the next exposure does not make is told as perhaps. Where the set-up is kept,
    nothing is asked of the chairside.

    Parameters
    ----------
    correction : Correction
    then : NextExposure or None
    serves : bool
        Whether the film answers its question as it is.
    is_kept : bool
        Whether the set-up is kept since another way promises no more: then nothing is needed.
    """
    movements = tuple(
        each if why is None else replace(each, need=Need.PERHAPS, spared=why)
        for each in correction.movements
        for why in (_spared(each, correction, then, serves=serves, is_kept=is_kept),)
    )
    verdict = correction.verdict
    if verdict is not Verdict.CANNOT_TELL:
        moving = any(each.need is Need.MOVE for each in movements)
        verdict = _verdict(moving=moving, weighed=then is not None, serves=serves)
    return replace(
        correction,
        verdict=verdict,
        movements=movements,
        causes=as_needed(correction.causes, {each.part: each.need for each in movements}),
        asks=None if then is None else correction.asks,
    )


def _spared(
    movement: Movement,
    correction: Correction,
    then: NextExposure | None,
    *,
    serves: bool,
    is_kept: bool,
) -> Spared | None:
    """Why a movement that was needed is told as perhaps; None where it is told as it was."""
    if movement.need is not Need.MOVE:
        return None
    if correction.slips and serves:
        return Spared.ASKED_FIRST
    if is_kept:
        return Spared.NO_GAIN
    if then is None or movement.part in {each.part for each in then.told_of(correction)}:
        return None
    return Spared.ASKED_FIRST if correction.slips else Spared.NOT_OF_THE_PLAN


def _verdict(*, moving: bool, weighed: bool, serves: bool) -> Verdict:
    if moving:
        return Verdict.NEARER if serves else Verdict.MOVE
    return Verdict.SET_UP_ANEW if weighed else Verdict.NOTHING


__all__ = ["asks_for_another_way", "is_worth_another_way", "one_answer"]

"""One answer: what is told as needed, the next exposure and what both come to agree.

A film that serves asks for no movement; one that may not serve is never told that nothing needs to
move beside a view that is set up anew; nothing is told as needed that the next exposure leaves out.
"""

from dataclasses import replace

from bitewright.explanation.correction import Correction, Need, Spared, Verdict
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


def one_answer(
    correction: Correction, then: NextExposure | None = None, *, serves: bool = False
) -> Correction:
    """The same, its needs and verdict as they are told with what is done next.

    A movement that the next exposure does not make is told as perhaps. Where the set-up is kept,
    nothing is asked of the chairside. ``serves``: whether the
    film answers its question as it is.
    """
    movements = correction.movements
    if then is not None:
        told = {each.part for each in then.told_of(correction)}
        why = Spared.ASKED_FIRST if correction.slips else Spared.NOT_OF_THE_PLAN
        movements = tuple(
            replace(each, need=Need.PERHAPS, spared=why)
            if each.need is Need.MOVE and each.part not in told
            else each
            for each in movements
        )
    verdict = correction.verdict
    if verdict is not Verdict.CANNOT_TELL:
        moving = any(each.need is Need.MOVE for each in movements)
        verdict = _verdict(moving=moving, weighed=then is not None, serves=serves)
    asks = None if then is None else correction.asks
    return replace(correction, verdict=verdict, movements=movements, asks=asks)


def _verdict(*, moving: bool, weighed: bool, serves: bool) -> Verdict:
    if moving:
        return Verdict.NEARER if serves else Verdict.MOVE
    return Verdict.SET_UP_ANEW if weighed else Verdict.NOTHING


__all__ = ["asks_for_another_way", "one_answer"]

"""The next exposure in words: the movement, the set-up to return to, and what is expected of it."""

from collections.abc import Collection

from bitewright.explanation.correction import Correction, Part
from bitewright.explanation.next_exposure import Course, NextExposure
from bitewright.exposing.receptor_edges import edge_places
from bitewright.words.movements import OPENING, hand_words
from bitewright.words.phrases import capital
from bitewright.words.plans import plan_instructions

STEP = 0.05
"""Shares are said to this. Our choice."""

ANEW = "set the view up anew by the general plan"
FITTED = "set the view up anew, as fits this mouth"
BY_GENERAL_PLAN = "set up anew by the general plan"
AS_PLANNED = "set up anew with the tube as it is planned for this mouth"
LIKELY = "against this film that most likely means to"
NOT_BORNE_OUT = ", but where that was reckoned as more, simulated next films showed less by it"
BY_SET_UP = "the set-up most likely means besides to"
OTHER_RECEPTOR = "take a smaller receptor, or one that bends"
NO_ROOM = "no set-up was found in which this mouth, as it is {how}, has room for this one."
HALF_WAY = "Where that and the movement differ, go half way."


def set_up_words(then: NextExposure, correction: Correction) -> str:
    """The set-up to return to, in two or three sentences; that none has room, where that is so."""
    if not then.has_room:
        how = "described" if correction.of_known_mouth else "estimated"
        return capital(NO_ROOM.format(how=how))
    placed, aimed, *_ = plan_instructions(then.set_up, edge_places(then.exposure))
    said = f"{placed[0].lower()}{placed[1:]} {aimed}"
    return f"As a set-up: {said} {HALF_WAY}" if then.is_moved else f"That is: {said}"


def weighed_sentence(
    then: NextExposure, correction: Correction, *, receptor_turned: Collection[Part]
) -> str:
    """What to do next as it was weighed: first that, then the set-up, then what is expected."""
    lead = lead_words(then, correction, receptor_turned=receptor_turned)
    said = [
        f"{capital(OPENING)}: {lead}.",
        set_up_words(then, correction),
        also_words(then, correction, receptor_turned=receptor_turned),
        expected_words(then, correction),
    ]
    return " ".join(filter(None, said))


def lead_words(
    then: NextExposure, correction: Correction, *, receptor_turned: Collection[Part]
) -> str:
    """What to do first, without a full stop: the movement, or that the view is set up anew.

    ``receptor_turned``: the tube's movements that the receptor makes instead, as `hand_words`.
    """
    if not then.has_room:
        return OTHER_RECEPTOR
    moves = _told(then, correction, receptor_turned=receptor_turned)[: _leading(then, correction)]
    if then.is_moved:
        return "".join(moves)
    fits = correction.of_known_mouth or then.course is Course.FITTED
    set_up = FITTED if fits else ANEW
    return "; ".join([set_up, *(f"{LIKELY} {move}" for move in moves)])


def also_words(
    then: NextExposure, correction: Correction, *, receptor_turned: Collection[Part]
) -> str:
    """What else is surely off, a sentence; empty where nothing is.

    Beside a set-up the ways alone are told: those that it goes, and those that are not in it. Of
    what a movement leaves to the set-up the ways are told as well.
    """
    leading = _leading(then, correction)
    moves = _told(then, correction, receptor_turned=receptor_turned)[leading:]
    if not moves:
        return ""
    if then.is_moved:
        ways = len(then.ways_of(correction))
        by_set_up = f"{capital(BY_SET_UP)} {'; to '.join(moves[:ways])}." if ways else ""
        beside = f"Also: {'; '.join(moves[ways:])}." if moves[ways:] else ""
        return f"{by_set_up} {beside}".strip()
    opening = "Besides, " if leading else ""
    return capital(f"{opening}{LIKELY} {'; to '.join(moves)}.")


def _leading(then: NextExposure, correction: Correction) -> int:
    """How many movements are told first: one, where there is one that is made."""
    return min(1, len(then.led_by(correction)))


def _told(
    then: NextExposure, correction: Correction, *, receptor_turned: Collection[Part]
) -> list[str]:
    """Each movement that is told, what is made first."""
    ways = then.ways_of(correction)
    return [
        hand_words(
            each,
            rim_radius_mm=correction.rim_radius_mm,
            how_far=then.is_moved and each not in ways,
            receptor_turned=receptor_turned,
            held_by=correction.held_by,
        )
        for each in then.told_of(correction)
    ]


def expected_words(then: NextExposure, correction: Correction) -> str:
    """What is expected of it, of the view set up anew, and of the same way again.

    Nothing where the mouth is none that the estimate knows, or has no room for it.
    """
    if correction.closed_spaces or not then.has_room:
        return ""
    chosen, anew, same = (
        then.expected[course].needed for course in (then.course, Course.ANEW, Course.SAME)
    )
    said = f"Of what its question needs, {_share(chosen)} can be read then, as estimated"
    again = _share(same)
    if again == _share(chosen):
        again = "hardly less" if same < chosen else "about as much"
    elif same > chosen:
        again += NOT_BORNE_OUT
    if then.course is Course.ANEW:
        return f"{said}; the same way again {again}."
    as_planned = AS_PLANNED if correction.of_known_mouth else BY_GENERAL_PLAN
    beside = f"{as_planned} {_share(anew)}"
    if _share(chosen) == _share(anew):
        less = "as much, but less of what is only ideal" if then.shows_more_ideal else "hardly less"
        beside = f"{as_planned} {less}"
    return f"{said}; {beside}; the same way again {again}."


def _share(share: float) -> str:
    if share > 1.0 - 0.5 * STEP:
        return "nearly all"
    return f"about {STEP * round(share / STEP):.0%}"


__all__ = ["also_words", "expected_words", "lead_words", "set_up_words", "weighed_sentence"]

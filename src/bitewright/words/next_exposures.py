"""The next exposure in words: the movement, the set-up to return to, and what is expected of it."""

from bitewright.explanation.correction import Correction, Movement, Need, Part
from bitewright.explanation.needs import WORTH
from bitewright.explanation.next_exposure import BESIDE_A_SET_UP, Course, NextExposure
from bitewright.exposing.receptor_edges import edge_places
from bitewright.words.movements import OPENING, instruction, turn_receptor
from bitewright.words.phrases import capital
from bitewright.words.plans import plan_instructions

STEP = 0.05
"""Shares are said to this. Our choice."""

ANEW = "set the view up anew by the general plan"
FITTED = "set the view up anew, as fits this mouth"
SAME = "place the receptor and aim the tube the same way: no movement is likely to better it"
HALF_WAY = "Where that and the movement differ, go half way."


def set_up_words(then: NextExposure) -> str:
    """The set-up to return to, in two or three sentences; empty where all stays as it was."""
    if then.course is Course.SAME:
        return ""
    placed, aimed, *_ = plan_instructions(then.set_up, edge_places(then.exposure))
    said = f"{placed[0].lower()}{placed[1:]} {aimed}"
    return f"As a set-up: {said} {HALF_WAY}" if then.is_moved else f"That is: {said}"


def weighed_sentence(then: NextExposure, correction: Correction, *, receptor_turned: bool) -> str:
    """What to do next as it was weighed: first that, then the set-up, then what is expected."""
    lead = lead_words(then, correction, receptor_turned=receptor_turned)
    also = also_words(then, correction)
    said = [
        f"{capital(OPENING)}: {lead}.",
        set_up_words(then),
        f"Also: {also[0].lower()}{also[1:]}" if also and then.is_moved else also,
        expected_words(then),
    ]
    return " ".join(filter(None, said))


def lead_words(then: NextExposure, correction: Correction, *, receptor_turned: bool) -> str:
    """What to do first, without a full stop: the movement, or that the view is set up anew.

    ``receptor_turned``: whether the rim stood flush, so that the receptor is turned instead.
    """
    if not then.is_moved:
        return {Course.ANEW: ANEW, Course.FITTED: FITTED, Course.SAME: SAME}[then.course]
    swing = correction.of(Part.SWING)
    if receptor_turned:
        return turn_receptor(swing)
    return instruction(swing, rim_radius_mm=correction.rim_radius_mm)


def also_words(then: NextExposure, correction: Correction) -> str:
    """What is surely off besides and not in the set-up; empty where nothing is."""
    if not then.is_moved:
        return _against_this_film(then, correction)
    moves = [
        instruction(each, rim_radius_mm=correction.rim_radius_mm)
        for each in correction.movements
        if each.need is Need.MOVE and each.part in BESIDE_A_SET_UP
    ]
    return " ".join(f"{capital(each)}." for each in moves)


def _against_this_film(then: NextExposure, correction: Correction) -> str:
    """Which way what was off then moves, the directions alone; empty where nothing surely was."""
    if then.course is Course.SAME:
        return ""
    moves = [
        each
        for each in correction.movements
        if each.need is Need.MOVE
        and (each.part in BESIDE_A_SET_UP or (each.part is Part.SWING and _same_way(each, then)))
    ]
    ways = [instruction(each, rim_radius_mm=0.0, how_far=False) for each in moves]
    return f"Against this film that is likely to {'; to '.join(ways)}." if ways else ""


def _same_way(swing: Movement, then: NextExposure) -> bool:
    """Whether the set-up lies the way that the movement goes, by what is worth moving."""
    return swing.needed.value * then.swing_deg > 0.0 and abs(then.swing_deg) > WORTH[Part.SWING]


def expected_words(then: NextExposure) -> str:
    """What is expected of it, and of the other courses."""
    chosen, anew, same = (
        then.expected[course].needed for course in (then.course, Course.ANEW, Course.SAME)
    )
    said = f"Of what its question needs, {_share(chosen)} can be read then, as estimated"
    if then.course is Course.ANEW:
        return f"{said}; the same way again {_share(same)}."
    beside = f"set up anew by the general plan {_share(anew)}"
    if _share(chosen) == _share(anew):
        beside = "set up anew by the general plan as much, but less of what is only ideal"
    if then.course is Course.SAME:
        return f"{said}; {beside}."
    return f"{said}; {beside}; the same way again {_share(same)}."


def _share(share: float) -> str:
    if share > 1.0 - 0.5 * STEP:
        return "nearly all"
    return f"about {STEP * round(share / STEP):.0%}"


__all__ = ["also_words", "expected_words", "lead_words", "set_up_words", "weighed_sentence"]

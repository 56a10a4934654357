"""The causes of a correction as they are told: how surely, with what says so and how to tell."""

from bitewright.explanation.chairside_answers import OF_A_RING, Answers
from bitewright.explanation.correction import Cause, CauseName, Correction, Verdict
from bitewright.explanation.film_pattern import FilmPattern
from bitewright.explanation.likely_causes import CAUSES, is_needed
from bitewright.explanation.rim_seen import GAP_OF, rim_flush_of
from bitewright.words.causes import (
    PERHAPS,
    how_to_tell,
    introduced,
    leaves_the_ring,
    signs_of,
    sized_cause_words,
    tell_apart,
)
from bitewright.words.cone_cuts import cone_cut_fact
from bitewright.words.movements import perhaps_sentence
from bitewright.words.titles import STILL

LEAST_WEIGHT = 0.1
"""Causes that account for less are left out of the paragraph. Our choice."""

NOT_OFF = "These marks do not show that receptor or tube was off by more than matters for this film"
NOT_FOUND = (
    "These marks do not tell what was off: no movement is surely needed, so the view is set up anew"
)

ACTS = (Verdict.MOVE, Verdict.SET_UP_ANEW, Verdict.CANNOT_TELL)
"""Verdicts beside which it is not said that nothing needs to move."""


def reasons(
    correction: Correction,
    pattern: FilmPattern | None,
    *,
    ring: bool,
    rim_flush: bool | None,
    told_ring_offset_deg: float | None,
) -> list[str]:
    """Each likely cause, what says so and how to tell it in the mouth, sentences.

    None in a mouth that the estimate does not know, which is said elsewhere.

    ``told_ring_offset_deg``: of the set-up that is told, if one is; by it rim and ring are flush
    or not, whatever the best exposure has. [deg]
    """
    if correction.closed_spaces:
        return []
    if correction.verdict in STILL and not perhaps_sentence(correction):
        return [NOT_FOUND if correction.verdict is Verdict.SET_UP_ANEW else NOT_OFF]
    causes = _likely(correction)
    said = [f"A cone cut is seen: {missed}" for missed in missed_words(correction)]
    if correction.cone_cut_mm is not None and not causes:
        said.append("As far as these marks tell, nothing else was off")
    meant = leaves_the_ring(told_ring_offset_deg, correction.ring_offset)
    seen = rim_flush is not None or not OF_A_RING.isdisjoint(correction.answers)
    for before, cause, how_far in causes_told(correction):
        opening = before or ("Most likely " if cause is causes[0] else "Besides, ")
        flush = flush_beside(cause, correction.answers, rim_flush=rim_flush)
        named = sized_cause_words(cause, ring=ring, rim_flush=flush, how_far=how_far)
        said.append(f"{opening}{named}{_share(cause, causes, perhaps=before == PERHAPS)}")
        signs = signs_of(cause, pattern) if pattern is not None else ""
        if signs:
            said.append(f"What says so, as marked: {signs}")
        acts = correction.verdict in ACTS
        by_gap = rim_flush is None
        said.append(
            how_to_tell(cause, ring=ring, rim_flush=flush, by_gap=by_gap, meant=meant, acts=acts)
        )
        if cause.is_alternative and not seen:
            said.append(tell_apart(causes[0], cause, ring=ring))
    return list(dict.fromkeys(said))


def causes_told(correction: Correction) -> list[tuple[str, Cause, bool]]:
    """Each cause worth naming with what is said before it, and whether its size is told."""
    needs = {each.part: each.need for each in correction.movements}
    causes = _likely(correction)
    return introduced(
        causes,
        how_far=not correction.is_unlike,
        needed={each.name for each in causes if is_needed(each, needs)},
    )


def flush_beside(cause: Cause, answers: Answers, *, rim_flush: bool | None) -> bool | None:
    """Whether rim and ring stood flush the way of a cause's movement; None where nobody looked."""
    part = next((each for each in GAP_OF if cause.name in CAUSES[each]), None)
    return rim_flush if part is None else rim_flush_of(part, answers, rim_flush=rim_flush)


def missed_words(correction: Correction) -> tuple[str, ...]:
    """The cone cut seen on the film, as a cause."""
    return () if correction.cone_cut_mm is None else (cone_cut_fact(correction.cone_cut_mm),)


def _share(cause: Cause, causes: list[Cause], *, perhaps: bool) -> str:
    if len(causes) < 2 or any(each.is_alternative for each in causes):
        return ""
    this = "if so, it" if perhaps else "this"
    return f"; {this} accounts for about {round(cause.weight, 1):.0%} of what is off"


def _likely(correction: Correction) -> list[Cause]:
    """Causes worth naming, first the likeliest."""
    causes = [cause for cause in correction.causes if cause.name is not CauseName.NONE]
    return [
        cause
        for k, cause in enumerate(causes)
        if k == 0 or cause.is_alternative or cause.weight >= LEAST_WEIGHT
    ]


__all__ = ["causes_told", "flush_beside", "missed_words", "reasons"]

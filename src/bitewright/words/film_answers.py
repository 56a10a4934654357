"""The answer to a film: whether it serves, the one movement, how sure; to be read in five seconds.

What else is told of a film stands below it and may not contradict it.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial

from bitewright.explanation.correction import Correction, HeldApart, Movement, Need, Part, Verdict
from bitewright.explanation.needs import is_worth_it
from bitewright.explanation.next_exposure import NextExposure
from bitewright.explanation.purpose_first import purpose_first
from bitewright.explanation.quick_reading import QuickReading
from bitewright.marking.marks import CONE_CUT
from bitewright.words.answer_basis import AnswerBasis
from bitewright.words.answer_verdicts import (
    HEADLINES,
    PERHAPS_OVERLAP,
    SIGNS,
    AnswerVerdict,
)
from bitewright.words.cone_cuts import cone_cut_instruction
from bitewright.words.correction_doubts import first_doubts
from bitewright.words.mark_doubts import contact_of, mark_doubts
from bitewright.words.mark_slips import HOPELESS, NOTHING_TOLD, slip_sentences
from bitewright.words.movements import NOT_SURELY, hand_words, perhaps_sentence
from bitewright.words.next_exposures import (
    also_words,
    expected_words,
    lead_words,
    set_up_words,
)
from bitewright.words.phrases import capital, listed
from bitewright.words.seen_faults import SEEN_FAULTS

WHEN = "Next time, or if another exposure is justified"
NOTHING = "Nothing needs to move for this film."
NOTHING_KEEP = "Nothing needs to move for this film: keep the set-up."
NONE_SO_FAR = "So far nothing needs to move."
NONE_FOUND = "No movement worth making is found in its marks: keep the set-up."
FROM_SIX = "From six marks on the film it tells what to move."
NOT_TOLD = "These marks do not tell yet which way tube or receptor was off."
SETTLED = "More marks would hardly change what to do."
MAY_CHANGE = "Provisional: further marks may change what to do."
ALL_IN = "Every mark is in: no further one makes it surer."
NEARER = "To come nearer to the best exposure next time: "
DIRECTION_ALONE = "The way is likely, how far cannot be told."
RIM = "Was the tube's rim flush with its ring?"


@dataclass(frozen=True, slots=True, kw_only=True)
class FilmAnswer:
    """An answer in words.

    Parameters
    ----------
    served : AnswerVerdict
    headline : str
        The verdict in a few words.
    why : str
        What it rests on, a sentence.
    when : str
        When to do it; empty where there is nothing to do.
    movement : str
        What to do first, a sentence; empty while nothing can be said of it.
    also : str
        Further movements, a sentence; empty where there are none.
    set_up : str
        The set-up to return to, a few sentences; empty where none is told.
    expected : str
        What is expected of it, a sentence; empty where none is told.
    sure : str
        How sure that is.
    is_settled : bool
        Whether further marks would hardly change it.
    asks_rim : bool
        Whether it hangs on how rim and ring stood, which nobody has told.
    marks_first : bool
        Whether the marks are to be checked before anything is told.
    """

    served: AnswerVerdict
    headline: str
    why: str
    when: str
    movement: str
    also: str
    sure: str
    is_settled: bool
    asks_rim: bool
    set_up: str = ""
    expected: str = ""
    marks_first: bool = False

    @property
    def what_to_do(self) -> str:
        """The movement with its occasion, in one sentence."""
        if not self.when:
            return self.movement
        return f"{self.when}: {self.movement[:1].lower()}{self.movement[1:]}"


def answer_of_marks(told: AnswerBasis, *, are_few: bool = True) -> FilmAnswer:
    """Of marks too few to tell which way tube or receptor was off, or that nobody explained."""
    answer = _answer(told, (), sure=FROM_SIX if are_few else "", is_settled=False)
    return replace(answer, movement="") if answer.movement == NOT_TOLD else answer


def quick_answer(told: AnswerBasis, reading: QuickReading) -> FilmAnswer:
    """Of the marks so far, provisional until the reading is settled."""
    if reading.marks_come_first:
        said = " ".join(slip_sentences(reading.slips)) or HOPELESS
        return _marks_first(said)
    movements = purpose_first(reading.movements, told.lacked)
    same_first = movements[:1] == reading.movements[:1]
    promises = reading.next is None or told.likely_failed or reading.next.promises_more
    kept = told.serves is False and not promises
    told_of = () if kept else movements
    movements = tuple(each for each in told_of if not told.serves or is_worth_it(each))
    is_settled = same_first and reading.is_settled(serves=told.serves)
    settled = not told.faults and (told.is_whole or is_settled)
    sure = ALL_IN if told.is_whole else SETTLED if settled else MAY_CHANGE
    answer = _answer(
        told,
        movements,
        nothing=reading.can_tell,
        how_far=not reading.is_unlike,
        sure="" if told.faults else sure,
        is_settled=settled,
    )
    so_far = reading.as_correction(told.rim_radius_mm)
    rests = _rests_on(told, so_far) or mark_doubts(reading.shown_elsewhere[:1])
    answer = replace(answer, why=" ".join([answer.why, *slip_sentences(reading.slips), *rests]))
    if reading.next is None or kept or told.serves is not False or told.faults:
        return answer
    if not (reading.movements or told.likely_failed):
        return answer
    return replace(_with_next(answer, told, so_far, reading.next), sure=answer.sure)


def full_answer(
    told: AnswerBasis, correction: Correction, then: NextExposure | None = None
) -> FilmAnswer:
    """Of the whole explanation, and what to do next as it was weighed."""
    if correction.marks_come_first:
        return _marks_first(" ".join(slip_sentences(correction.slips)) or HOPELESS)
    moving = [each for each in correction.movements if each.need is Need.MOVE]
    told = replace(told, beam_margin_mm=correction.beam_margin_mm)
    answer = _answer(
        told,
        moving,
        nothing=correction.verdict is not Verdict.CANNOT_TELL,
        how_far=not correction.is_unlike,
        perhaps_too="" if correction.slips else perhaps_sentence(correction),
        sure="",
        is_settled=False,
        held_by=correction.held_by,
    )
    asked = [*first_doubts(correction), *_rests_on(told, correction)]
    answer = replace(answer, why=" ".join([answer.why, *asked]))
    if then is None or told.serves or told.faults:
        return answer
    return _with_next(answer, told, correction, then)


def _with_next(
    answer: FilmAnswer, told: AnswerBasis, correction: Correction, then: NextExposure
) -> FilmAnswer:
    """The movement that was weighed first, or the set-up; what both leave out, under what else."""
    first = _capital_sentence(lead_words(then, correction, receptor_turned=told.turned))
    if correction.verdict is Verdict.CANNOT_TELL:
        first = f"{NOT_TOLD} {first}"
    return replace(
        answer,
        when=WHEN,
        movement=first,
        also=also_words(then, correction, receptor_turned=told.turned),
        set_up=set_up_words(then, correction),
        expected=expected_words(then, correction),
        sure="",
        asks_rim=then.is_moved and answer.asks_rim,
    )


def _rests_on(told: AnswerBasis, correction: Correction) -> list[str]:
    """That an overlap told of rests on a mark to check, if one that may be too wide does."""
    for each in correction.doubtful_marks:
        contact = contact_of(each.name, told.overlapped)
        if contact is not None and (each.outward_mm is None or each.outward_mm < 0.0):
            return [f"The overlap at {contact} rests on a doubtful mark.", *mark_doubts([each])]
    return []


def _marks_first(said: str) -> FilmAnswer:
    return FilmAnswer(
        served=AnswerVerdict.NOT_TOLD,
        headline="Check the marks first",
        why=said,
        when="",
        movement="",
        also="",
        sure=NOTHING_TOLD,
        is_settled=False,
        asks_rim=False,
        marks_first=True,
    )


def _answer(
    told: AnswerBasis,
    moving: Sequence[Movement],
    *,
    nothing: bool = False,
    how_far: bool = True,
    perhaps_too: str = "",
    sure: str,
    is_settled: bool,
    held_by: HeldApart | None = None,
) -> FilmAnswer:
    served = _served(told)
    remedies = [_remedy(name, told) for name in told.faults]
    turned, radius = told.turned, told.rim_radius_mm
    in_words = partial(
        hand_words, rim_radius_mm=radius, how_far=how_far, receptor_turned=turned, held_by=held_by
    )
    said = [in_words(each) for each in moving]
    moves = [_capital_sentence(each) for each in said]
    acts = bool(remedies) or (bool(moves) and not told.serves)
    if remedies:
        first, rest = remedies[0], [*remedies[1:], *moves]
    elif told.serves:
        nearer = f"{NEARER}{'; '.join(said)}."
        first, rest = (NOTHING, [nearer]) if said else (NOTHING_KEEP, [])
    elif moves:
        first, rest = moves[0], moves[1:]
    else:
        first, rest = _still(told, perhaps_too) if nothing else (NOT_TOLD, [])
    told_first = not remedies and not told.serves and bool(moves)
    swings = any(each.part is Part.SWING for each in moving)
    return FilmAnswer(
        served=served,
        headline=PERHAPS_OVERLAP
        if served is AnswerVerdict.READABLE and told.hangs
        else HEADLINES[served],
        why=_why(told, served),
        when=WHEN if acts else "",
        movement=first,
        also=_also(rest, told),
        sure=" ".join(filter(None, [sure, DIRECTION_ALONE if told_first and not how_far else ""])),
        is_settled=is_settled,
        asks_rim=swings and told.leaves_rim_open and not told.serves,
    )


def _still(told: AnswerBasis, perhaps_too: str) -> tuple[str, list[str]]:
    """That nothing surely needs to move, and what perhaps does."""
    if perhaps_too:
        return NOT_SURELY, [perhaps_too]
    return (NONE_SO_FAR if told.serves is None else NONE_FOUND), []


def _also(rest: Sequence[str], told: AnswerBasis) -> str:
    """Further sentences as one that can stand by itself."""
    said = " ".join(rest)
    alone = not said or told.serves or said.startswith("Perhaps: ")
    return said if alone else f"Also: {said[0].lower()}{said[1:]}"


def _remedy(name: str, told: AnswerBasis) -> str:
    """What mends a fault that was seen; of a cone cut with its edge marked, how far, which way."""
    if name == CONE_CUT and told.cone_cut_mm:
        remedy = cone_cut_instruction(
            told.cone_cut_mm, tube_moves=False, margin_mm=told.beam_margin_mm
        )
        return _capital_sentence(remedy)
    return SEEN_FAULTS[name].remedy


def _served(told: AnswerBasis) -> AnswerVerdict:
    if told.is_doubtful and told.cone_cut_mm is None:
        return AnswerVerdict.DOUBTFUL
    if told.fails:
        return AnswerVerdict.NO
    if told.faults:
        return AnswerVerdict.BY_EYE
    if told.serves is None:
        return AnswerVerdict.NOT_TOLD
    return AnswerVerdict.YES if told.serves else AnswerVerdict.READABLE


def _why(told: AnswerBasis, served: AnswerVerdict) -> str:
    said = told.fitness
    if served is AnswerVerdict.DOUBTFUL:
        said = f"As measured: {said[:1].lower()}{said[1:]}"
    read = served in (AnswerVerdict.READABLE, AnswerVerdict.DOUBTFUL) and not told.fails
    if read and told.overlapped:
        verb, they = ("overlaps", "it") if len(told.overlapped) == 1 else ("overlap", "they")
        likely = "Most likely " if told.hangs else ""
        said += f" {likely}{listed(list(told.overlapped))} {verb}, "
        said += (
            f"though as measured {they} can be read for it"
            if served is AnswerVerdict.DOUBTFUL
            else "yet can be read for it"
        )
        said += f"; the chance that it is open is {told.left_open:.0%}." if told.hangs else "."
    if told.fails and told.is_doubtful:
        nothing = "nothing" if told.is_rated_whole else "nothing marked so far"
        said += f" The marks leave a chance of {1.0 - told.fail_chance:.0%} that {nothing} failed."
    elif told.is_doubtful:
        said += f" The marks leave a chance of {told.fail_chance:.0%} that something failed."
    if told.faults:
        seen = listed([SEEN_FAULTS[name].title for name in told.faults])
        said += f" Seen on it: {seen}."
    return said


def _capital_sentence(said: str) -> str:
    return f"{capital(said)}."


__all__ = [
    "RIM",
    "SIGNS",
    "WHEN",
    "AnswerBasis",
    "AnswerVerdict",
    "FilmAnswer",
    "answer_of_marks",
    "full_answer",
    "quick_answer",
]

"""A correction in words: a sentence or two for the operator, a paragraph for the teacher.

Always a movement of the hand towards the front or back of the mouth, up or down; calm, and as
"next time, or if another exposure is justified": whether there is another is not decided here.
"""

from collections.abc import Collection
from dataclasses import dataclass

from bitewright.explanation.correction import (
    Correction,
    Need,
    Part,
    Verdict,
)
from bitewright.explanation.film_pattern import FilmPattern
from bitewright.explanation.next_exposure import NextExposure
from bitewright.explanation.rim_seen import rim_flush_of, turned_instead
from bitewright.exposing.region import Region
from bitewright.words.causes import cause_words
from bitewright.words.causes_told import causes_told, flush_beside, missed_words, reasons
from bitewright.words.certainty import certainty, left_open, settling
from bitewright.words.chairside import answers_sentence
from bitewright.words.cone_cuts import FIELD_TOO_SMALL, cone_cut_instruction, still_missed
from bitewright.words.correction_doubts import correction_doubts
from bitewright.words.mark_slips import marks_first, slip_sentences
from bitewright.words.movements import (
    NOT_SURELY,
    OPENING,
    SAID,
    SERVES,
    SERVES_AS_IT_IS,
    hand_words,
    perhaps_sentence,
    with_unit,
)
from bitewright.words.next_exposures import weighed_sentence
from bitewright.words.phrases import capital, in_turn, listed
from bitewright.words.titles import KEEP_THE_SET_UP, STILL

LEAST_MARGIN_MM = 1.5
"""Beam left around the active area, below which a cone cut is warned of. Our choice."""

ESTIMATED = "Estimated from the marks"
"""Stands over every correction."""

RIM_QUESTION = (
    "Was the tube's rim flush with its ring? Then turn the receptor instead, its ring and the tube "
    "with it."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class CorrectionWords:
    """A correction in words.

    Parameters
    ----------
    operator : str
        What to move, which way, how far; a second sentence where something cannot be told.
    teacher : str
        A paragraph: why, how sure, what geometry cannot split, how to tell in the mouth.
    causes : tuple of str
        The likely causes, first the likeliest, each with its size.
    doubts : tuple of str
        A sentence for each mark to check, and one on marks that fit no mouth well.
    """

    operator: str
    teacher: str
    causes: tuple[str, ...]
    doubts: tuple[str, ...]


def correction_words(
    correction: Correction,
    *,
    pattern: FilmPattern | None = None,
    ring: bool = True,
    rim_flush: bool | None = None,
    region: Region | None = None,
    serves: bool = False,
    likely_failed: bool = False,
    then: NextExposure | None = None,
) -> CorrectionWords:
    """A correction in words.

    Parameters
    ----------
    correction : Correction
    pattern : FilmPattern, optional
        What in the film says so; without it the paragraph names no contacts or cusps.
    ring : bool
        Whether the holder has a ring that guides the tube.
    rim_flush : bool, optional
        Whether the tube's rim stood flush with its ring, if somebody looked; else it is asked.
    region : Region, optional
        The view's; without it nothing is said of how often intervals held in such views.
    serves : bool
        Whether the film answers its question as it is, so that a movement only betters the next.
    likely_failed : bool
        Whether it likely failed: then it is not said to be taken the same way again.
    then : NextExposure, optional
        What to do next as it was weighed; without it, by the movements that are sure.
    """
    return CorrectionWords(
        operator=operator_sentence(
            correction,
            ring=ring,
            rim_flush=rim_flush,
            serves=serves,
            likely_failed=likely_failed,
            then=then,
        ),
        teacher=teacher_paragraph(
            correction,
            pattern=pattern,
            ring=ring,
            rim_flush=rim_flush,
            region=region,
            moves=then is None or then.is_moved,
            told_ring_offset_deg=_told_ring_offset(correction, then, serves=serves),
        ),
        causes=(
            *missed_words(correction),
            *(
                opening
                + cause_words(
                    cause,
                    ring=ring,
                    rim_flush=flush_beside(cause, correction.answers, rim_flush=rim_flush),
                    how_far=how_far,
                )
                for opening, cause, how_far in causes_told(correction)
            ),
        ),
        doubts=correction_doubts(correction),
    )


def operator_sentence(
    correction: Correction,
    *,
    ring: bool = False,
    rim_flush: bool | None = None,
    serves: bool = False,
    likely_failed: bool = False,
    then: NextExposure | None = None,
) -> str:
    """For the operator: the movements worth making, the most important first.

    With a ring it asks whether the rim was flush, unless that is known.
    """
    first = marks_first(correction)
    if correction.marks_come_first:
        return first
    turned = turned_instead(correction.answers, ring=ring, rim_flush=rim_flush)
    swings = correction.of(Part.SWING).need is Need.MOVE
    if then is not None and not serves and correction.cone_cut_mm is None:
        said = weighed_sentence(then, correction, receptor_turned=turned)
        said += _how_far(correction, a_way=bool(then.told_of(correction)))
        if correction.verdict is Verdict.CANNOT_TELL:
            said = f"{_cannot_tell(correction, [], OPENING)} {said}"
        swings = then.is_moved
    else:
        said = _operator(correction, receptor_turned=turned, serves=serves, failed=likely_failed)
    said = f"{first} {said}".strip()
    asks = rim_flush_of(Part.SWING, correction.answers, rim_flush=rim_flush) is None
    return f"{said} {RIM_QUESTION}" if swings and ring and asks else said


def _operator(
    correction: Correction, *, receptor_turned: Collection[Part], serves: bool, failed: bool
) -> str:
    """As `operator_sentence`, of marks that are believed."""
    moves = _instructions(correction, receptor_turned=receptor_turned)
    if correction.verdict in STILL:
        return _nothing(correction, serves=serves, failed=failed)
    opening = SERVES if serves else OPENING
    if correction.verdict is Verdict.CANNOT_TELL:
        return _cannot_tell(correction, moves, opening)
    told = _first_and_also(moves, opening, _cone_cut(correction))
    return f"{told}{'' if serves else _perhaps(correction)}{_how_far(correction)}"


def _nothing(correction: Correction, *, serves: bool, failed: bool) -> str:
    """That nothing surely needs to move, and what perhaps does."""
    if correction.slips:
        return "As they are marked, nothing would need to move."
    if serves:
        return f"{capital(SERVES_AS_IT_IS)}."
    perhaps_too = perhaps_sentence(correction)
    if perhaps_too or failed:
        return f"{NOT_SURELY} {perhaps_too}".rstrip()
    return KEEP_THE_SET_UP


def _first_and_also(moves: list[str], opening: str, then: str) -> str:
    """One movement first, the others after it."""
    first, others = "".join(moves[:1]), moves[1:]
    if not others:
        return f"{capital(opening)}: {first}{then}."
    return f"{capital(opening)}: {first}. Also: {in_turn(others)}{then}."


def _perhaps(correction: Correction) -> str:
    """The most important of the movements that may be none, beside others."""
    return perhaps_sentence(correction).replace("Perhaps", " Perhaps also")


def _how_far(correction: Correction, *, a_way: bool = True) -> str:
    """That only the direction is told, if even that is."""
    if not correction.is_unlike:
        return ""
    told = "the way to move is likely, how far" if a_way else "how far to move"
    return (
        " These marks, or this mouth, are unlike those the estimate was made for: "
        f"{told} cannot be told."
    )


def _instructions(correction: Correction, *, receptor_turned: Collection[Part] = ()) -> list[str]:
    moving = [movement for movement in correction.movements if movement.need is Need.MOVE]
    how_far = not correction.is_unlike
    moves = [
        hand_words(
            each,
            rim_radius_mm=correction.rim_radius_mm,
            how_far=how_far,
            receptor_turned=receptor_turned,
            held_by=correction.held_by,
        )
        for each in moving
    ]
    if correction.cone_cut_mm is None:
        return moves
    tube_moves = any(each.part in (Part.SWING, Part.VERTICAL) for each in moving)
    remedy = cone_cut_instruction(
        correction.cone_cut_mm, tube_moves=tube_moves, margin_mm=correction.beam_margin_mm
    )
    return [*moves, remedy]


def _cannot_tell(correction: Correction, moves: list[str], opening: str) -> str:
    """What can be told first, if anything; then what cannot, and what would settle it."""
    questions = [SAID[movement.part].open_question for movement in left_open(correction)][:2]
    said = f"These marks cannot tell {listed(questions, last='or')}: "
    if correction.settling_marks:
        said += f"also mark {settling(correction)}, and assess again."
    else:
        said += "before any further exposure, look at receptor, tube and bite block in the mouth."
    if not moves:
        return said
    return f"{_first_and_also(moves, opening, _cone_cut(correction))} {said}"


def _cone_cut(correction: Correction) -> str:
    margin = correction.beam_margin_mm
    if margin is None or margin >= LEAST_MARGIN_MM:
        return ""
    if correction.cone_cut_mm is not None:
        return ""
    if margin < 0.0:
        return f"; and {FIELD_TOO_SMALL}: {still_missed(margin)}"
    return (
        "; then check that the tube still covers the receptor, for hardly any beam is left at its "
        "edge"
    )


def teacher_paragraph(
    correction: Correction,
    *,
    pattern: FilmPattern | None = None,
    ring: bool = True,
    rim_flush: bool | None = None,
    region: Region | None = None,
    moves: bool = True,
    told_ring_offset_deg: float | None = None,
) -> str:
    """Why, how sure, what geometry cannot split and how to tell in the mouth.

    ``moves``: whether movements are told, after which the beam's margin is said.
    ``told_ring_offset_deg``: as `causes_told.reasons` takes it. [deg]
    """
    if correction.marks_come_first:
        told = slip_sentences(correction.slips)
        rest = [each for each in correction_doubts(correction) if each not in told]
        sentences = [marks_first(correction), *rest]
        return " ".join(f"{capital(each).rstrip('.')}." for each in sentences)
    turned = turned_instead(correction.answers, ring=ring, rim_flush=rim_flush)
    sentences = [
        *reasons(
            correction,
            pattern,
            ring=ring,
            rim_flush=rim_flush,
            told_ring_offset_deg=told_ring_offset_deg,
        ),
        answers_sentence(correction.answers),
        *certainty(correction, region, receptor_turned=turned),
        *(_margin(correction) if moves else ()),
        *correction_doubts(correction),
    ]
    return " ".join(f"{capital(sentence).rstrip('.')}." for sentence in sentences if sentence)


def _told_ring_offset(
    correction: Correction, then: NextExposure | None, *, serves: bool
) -> float | None:
    """The `ring_offset_deg` of the set-up that the operator is told; None where none is. [deg]"""
    if then is None or serves or correction.cone_cut_mm is not None or not then.has_room:
        return None
    return then.set_up.ring_offset_deg


def _margin(correction: Correction) -> list[str]:
    margin = correction.beam_margin_mm
    if margin is None or not _instructions(correction):
        return []
    if margin < 0.0:
        missed = with_unit(max(-margin, 0.5), "mm")
        return [
            f"Even at the best exposure the beam misses {missed} of the active area: a cone cut"
        ]
    left = with_unit(margin, "mm")
    return [f"Once moved as said, the beam reaches {left} beyond the active area all round"]


__all__ = [
    "ESTIMATED",
    "CorrectionWords",
    "correction_words",
    "operator_sentence",
    "teacher_paragraph",
]

"""Whether each movement of a film is told as needed, and what that comes to."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field

from bitewright.explanation.chairside_answers import Answers
from bitewright.explanation.correction import (
    Estimated,
    Movement,
    Need,
    Part,
    Verdict,
    unit_of,
)
from bitewright.marking.picture_borders import PictureBorders
from bitewright.quality.criteria import CriterionName, criteria

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

TOLD_FROM = {"deg": 0.5, "mm": 0.25}
"""Less than this is told as nought, in figures that a hand can set: an interval that begins within
it begins at nought for whoever reads it."""

TOLD = (Need.MOVE, Need.PERHAPS)

OF_THE_RECEPTOR_ALONE = (Part.TURN, Part.TILT)
"""What one film does not tell: on 42 of 2,544 simulated films the turn's whole interval was worth
it, 7 of those turns were, and 3 of the intervals held the truth."""

WIDEST_DEG = 24.0
"""A swing whose interval is wider, and not to one side, cannot be told. Our choice."""

BOTH_WAYS_DEG = 7.0
"""Nor one that may be needed this much either way: less opens hardly any contact. Our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AsMarked:
    """What is known of a film beside its exposure: what it shows as marked, and was answered.

    Parameters
    ----------
    slope_deg : float or None
        Of the occlusal plane: a film that is level as it is needs no levelling. [deg]
    teeth_apart_mm : float or None
        How far the teeth measure off the bite block. [mm]
    serves : bool
        Whether the film answers its question as it is: then only what is surely worth moving is
        told as needed, and what the marks cannot tell is not asked.
    likely_failed : bool
        Whether something that the question needs likely failed: else, with nothing surely off, the
        set-up is kept.
    mended_first : bool
        Whether a fault was seen on it, which is mended first and by itself: no next exposure is
        weighed.
    lacked : collection of CriterionName
        What the question needs and the film did not meet: what mends it comes first.
    borders : mapping of landmark name to PictureBorders
        What its picture says of where marks belong.
    answers : Answers
        From the chairside.
    """

    slope_deg: float | None = None
    teeth_apart_mm: float | None = None
    serves: bool = False
    likely_failed: bool = True
    mended_first: bool = False
    lacked: Collection[CriterionName] = ()
    borders: Mapping[str, PictureBorders] = field(default_factory=dict)
    answers: Answers = field(default_factory=dict)

    @property
    def is_level(self) -> bool:
        """Whether it is known to be level."""
        return (
            self.slope_deg is not None
            and abs(self.slope_deg) <= criteria()[CriterionName.LEVEL].met
        )


UNKNOWN = AsMarked()
"""Of a film of which nothing is known but its exposure."""


def need_of(part: Part, amount: Estimated) -> Need:
    """Whether to move: only what is sure at the stated level is told as needed."""
    worth = WORTH[part]
    if part in OF_THE_RECEPTOR_ALONE:
        return Need.UNSURE
    if part is Part.CLOSURE and amount.value < 0.0:
        # Nobody closes too far on a bite block: marks that say so are off by as much.
        return Need.STAY
    if abs(amount.value) < worth:
        return Need.UNSURE if amount.low < -2.0 * worth and amount.high > 2.0 * worth else Need.STAY
    return Need.MOVE if is_one_way(part, amount) else Need.PERHAPS


def is_one_way(part: Part, amount: Estimated) -> bool:
    """Whether the whole interval lies to one side, as it is told."""
    return amount.beyond(TOLD_FROM[unit_of(part)])


def is_too_sure(movement: Movement) -> bool:
    """Whether a film would tell surely what no film does: then no amount of it is told.

    Of 2,544 simulated films the interval of the receptor's turn lay to one side on 174; on 65 of
    those it held the truth.
    """
    return movement.part in OF_THE_RECEPTOR_ALONE and is_one_way(movement.part, movement.needed)


def need_of_few(movement: Movement) -> Need:
    """Whether a movement that few marks show to be worth making is surely needed."""
    return Need.MOVE if is_one_way(movement.part, movement.needed) else Need.PERHAPS


def need_of_serving(part: Part, amount: Estimated, need: Need) -> Need:
    """Of a film that serves: as needed is told only what is worth it over the whole interval.

    Else noise of a few marks would decide whether a movement that hardly matters is told.
    """
    return Need.PERHAPS if need is Need.MOVE and not amount.beyond(WORTH[part]) else need


def is_worth_it(movement: Movement) -> bool:
    """Whether a movement is worth making over its whole interval."""
    return movement.needed.beyond(WORTH[movement.part])


def is_swing_open(swing: Estimated, *, serves: bool) -> bool:
    """Whether the marks of a film that does not surely serve leave open which way the tube swung.

    Then it is told as what they cannot tell, and as no "perhaps" beside that.
    """
    both = swing.low < -BOTH_WAYS_DEG and swing.high > BOTH_WAYS_DEG
    wide = is_wide(swing) and not is_one_way(Part.SWING, swing)
    return not serves and (both or wide)


def is_wide(swing: Estimated) -> bool:
    """Whether a swing's interval is too wide to go by its amount. [deg]"""
    return swing.high - swing.low > WIDEST_DEG


def verdict_of(swing: Estimated, movements: tuple[Movement, ...], *, serves: bool) -> Verdict:
    """What the movements come to, by how surely the swing's way is told."""
    if is_swing_open(swing, serves=serves):
        return Verdict.CANNOT_TELL
    moving = any(each.need is Need.MOVE for each in movements)
    return Verdict.MOVE if moving else Verdict.NOTHING


__all__ = [
    "BOTH_WAYS_DEG",
    "OF_THE_RECEPTOR_ALONE",
    "TOLD",
    "TOLD_FROM",
    "UNKNOWN",
    "WIDEST_DEG",
    "WORTH",
    "AsMarked",
    "is_one_way",
    "is_swing_open",
    "is_too_sure",
    "is_wide",
    "is_worth_it",
    "need_of",
    "need_of_few",
    "need_of_serving",
    "verdict_of",
]

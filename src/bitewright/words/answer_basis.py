"""What the answer to a film is made of, beside its movements: its marks and what was answered."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field

from bitewright.explanation.chairside_answers import Answers
from bitewright.explanation.correction import Part
from bitewright.explanation.rim_seen import rim_flush_of, turned_instead
from bitewright.exposing.beam_cover import BeamPlace
from bitewright.marking.rating_chances import SURE
from bitewright.quality.criteria import CriterionName

LIKELY = 0.5
"""Chance from which something is said to have likely failed."""

HANGS = 0.01
"""Chance from which a contact told as overlapped is said to be perhaps open. Our choice: on a film
of ten open contacts one comes out this unlikely to be open, by noise alone, about once in ten."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerBasis:
    """What an answer is made of, beside its movements.

    Parameters
    ----------
    serves : bool or None
        None while marks do not tell.
    fails : bool
        Whether a criterion failed.
    fail_chance : float
        How likely a criterion failed, by the marks' uncertainty; NaN where they do not tell.
    is_rated_whole : bool
        Whether all that decides is marked: else ``fail_chance`` is of what is marked so far.
    fitness : str
        As `ratings.fitness_words`.
    overlapped : sequence of str
        Contacts told as overlapped.
    faults : sequence of str
        Names of faults seen, of `SEEN_FAULTS`.
    ring : bool
        Whether the holder has a ring.
    rim_flush : bool or None
    rim_radius_mm : float
        From the receptor's middle to the tube's rim. [mm]
    is_whole : bool
        Whether every mark that is asked for is set.
    cone_cut_mm : mapping or None
        As in `Correction`.
    beam_margin_mm : float or None
        As in `Correction`, once that is known.
    answers : Answers
        From the chairside.
    lacked : collection of CriterionName
        Criteria that its question needs and the film did not meet.
    left_open : float
        How likely the one contact told as overlapped is open; nought where there are more.
    """

    serves: bool | None
    fails: bool
    fail_chance: float
    fitness: str
    overlapped: Sequence[str]
    faults: Sequence[str]
    ring: bool
    rim_flush: bool | None
    rim_radius_mm: float
    is_whole: bool
    cone_cut_mm: Mapping[BeamPlace, float] | None = None
    lacked: Collection[CriterionName] = ()
    left_open: float = 0.0
    is_rated_whole: bool = True
    beam_margin_mm: float | None = None
    answers: Answers = field(default_factory=dict)

    @property
    def turned(self) -> frozenset[Part]:
        """The tube's movements that the receptor is to make instead."""
        return turned_instead(self.answers, ring=self.ring, rim_flush=self.rim_flush)

    @property
    def leaves_rim_open(self) -> bool:
        """Whether nobody told how rim and ring stood along the row, and there is a ring."""
        return (
            self.ring and rim_flush_of(Part.SWING, self.answers, rim_flush=self.rim_flush) is None
        )

    @property
    def is_doubtful(self) -> bool:
        """Whether the marks leave a chance worth saying that the verdict is the other one."""
        return self.fail_chance < SURE if self.fails else self.fail_chance > 1.0 - SURE

    @property
    def likely_failed(self) -> bool:
        """Whether something that its question needs more likely failed than not."""
        return self.fails or self.fail_chance >= LIKELY

    @property
    def hangs(self) -> bool:
        """Whether it hangs on one contact's marks that it does not serve as it is."""
        return self.left_open >= HANGS


__all__ = ["AnswerBasis"]

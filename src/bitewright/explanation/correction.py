"""A correction: the movements from the exposure a film came from to the best one.

With how sure each is, and what the film cannot tell. Numbers only; `correction_words` says them.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum

from bitewright.explanation.chairside_answers import Answers, ChairsideQuestion
from bitewright.explanation.doubtful_marks import DoubtfulMark
from bitewright.explanation.mark_slips import MarkSlips
from bitewright.exposing.beam_cover import BeamPlace

COVERAGE, SD_TO_END = 0.90, 1.645
"""Of every interval here, and how many standard deviations of a normal one reach its end."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimated:
    """A value and the interval that holds it with a probability of 90%; unit as its owner says."""

    value: float
    low: float
    high: float

    @property
    def sd(self) -> float:
        """Its standard deviation, were it normal."""
        return (self.high - self.low) / (2.0 * SD_TO_END)

    def beyond(self, least: float) -> bool:
        """Whether the whole interval lies beyond this much to one side."""
        return self.low > least or self.high < -least


class Part(StrEnum):
    """What moves. Signs as in the glossary: to the front, up, towards the tongue are positive."""

    SWING = "swing"
    """The tube about the vertical through the receptor's middle. [deg]"""
    VERTICAL = "vertical"
    """The tube up, pointing more down. [deg]"""
    FORWARD = "forward"
    """The receptor to the front, the tube with it. [mm]"""
    HEIGHT = "height"
    """The receptor up. [mm]"""
    TURN = "turn"
    """The receptor's front end towards the opposite canine. [deg]"""
    TILT = "tilt"
    """The receptor's upper edge to the palate or tongue. [deg]"""
    ROLL = "roll"
    """The receptor's front edge down. [deg]"""
    CLOSURE = "closure"
    """The teeth closing further on the bite block. [mm]"""


def unit_of(part: Part) -> str:
    """What a part's movement is measured in: "deg" or "mm"."""
    return "mm" if part in (Part.FORWARD, Part.HEIGHT, Part.CLOSURE) else "deg"


class Need(StrEnum):
    """Whether a movement is worth making."""

    MOVE = "move"
    """Its whole interval lies to one side, and its size is worth moving."""
    PERHAPS = "perhaps"
    """Its size is worth moving, but its interval reaches past nought: it may be none."""
    STAY = "stay"
    UNSURE = "unsure"
    """The marks allow moving one way, staying, or the other way."""


class Spared(StrEnum):
    """Why a movement that the best exposure asks for is told as perhaps, its interval apart."""

    NOT_OF_THE_PLAN = "not-of-the-plan"
    """The set-up does not go that way."""
    ALL_SHOWN = "all-shown"
    """The film shows all of the row that it would bring."""
    ASKED_FIRST = "asked-first"
    """Marks are asked about before it is told."""
    NO_GAIN = "no-gain"
    """Nothing failed, and no more is expected of the next film by it than of the same way again."""
    NOT_SURELY_HELD = "not-surely-held"
    """It rests on the receptor's holding the teeth apart, which is likely and not sure."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HeldApart:
    """What of the receptor's place keeps teeth apart, and whether that is sure."""

    by: Part
    is_sure: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Movement:
    """One movement from the film's exposure to the best one.

    Parameters
    ----------
    part : Part
    needed : Estimated
        How much. [deg or mm]
    need : Need
    rim : Estimated or None
        How far the tube's rim slides for it, to the front or up positive; tube movements only. [mm]
    spared : Spared or None
        Why it is only perhaps, where its interval alone does not say so.
    measured_mm : float or None
        Of the teeth's closing: how much more they measure apart than at the best exposure; None
        where that is not known. [mm]
    """

    part: Part
    needed: Estimated
    need: Need
    rim: Estimated | None = None
    spared: Spared | None = None
    measured_mm: float | None = None

    @property
    def unit(self) -> str:
        """Unit of ``needed``: "deg" or "mm"."""
        return unit_of(self.part)


class CauseName(StrEnum):
    """What may have been wrong with an exposure. Causes a film cannot tell apart are one."""

    TUBE_TOO_FAR_FORWARD = "tube-too-far-forward"
    """Or the receptor turned, taking its ring along."""
    TUBE_TOO_FAR_BACK = "tube-too-far-back"
    TUBE_TOO_HIGH = "tube-too-high"
    """Pointing down too much, or the receptor tilted with its ring."""
    TUBE_TOO_LOW = "tube-too-low"
    RECEPTOR_TOO_FAR_FORWARD = "receptor-too-far-forward"
    RECEPTOR_TOO_FAR_BACK = "receptor-too-far-back"
    RECEPTOR_TOO_HIGH = "receptor-too-high"
    RECEPTOR_TOO_LOW = "receptor-too-low"
    RECEPTOR_ROLLED_FRONT_DOWN = "receptor-rolled-front-down"
    RECEPTOR_ROLLED_FRONT_UP = "receptor-rolled-front-up"
    NOT_CLOSED = "not-closed"
    NONE = "none"


@dataclass(frozen=True, slots=True, kw_only=True)
class Cause:
    """One cause with its size and its rank's weight.

    Parameters
    ----------
    name : CauseName
    size : Estimated
        How far off, nought or more. [deg or mm]
    unit : str
    weight : float
        How much of what is wrong with the film it accounts for, 0 to 1 over all causes.
    chance : float
        How likely it is what costs the film most.
    is_alternative : bool
        Whether it would do in the first cause's place: the film does not tell the two apart.
    """

    name: CauseName
    size: Estimated
    unit: str
    weight: float
    chance: float = 1.0
    is_alternative: bool = False


class Verdict(StrEnum):
    """What a correction comes to."""

    MOVE = "move"
    """A movement is told as needed."""
    SET_UP_ANEW = "set-up-anew"
    """The film may not serve and no movement is surely needed: the view is set up anew."""
    NEARER = "nearer-to-the-best"
    """The film serves; a movement would bring the next one nearer to the best exposure."""
    NOTHING = "nothing-needs-to-move"
    """Nothing surely needs to move: the set-up is kept."""
    CANNOT_TELL = "cannot-tell"


@dataclass(frozen=True, slots=True, kw_only=True)
class Correction:
    """From a film to the movement that mends its exposure, next time or if another is justified.

    Parameters
    ----------
    verdict : Verdict
    movements : tuple of Movement
        Every part once, the most important first.
    causes : tuple of Cause
        Most likely first; one `CauseName.NONE` where nothing is off.
    settling_marks : tuple of landmark names
        Marks that would settle most of what is open; empty where nothing is.
    misfit : float
        Squares of how far the marks lie from the estimate, over those expected of so many marks;
        1 is expected of marks and mouths as they were assumed, less of good ones.
    strangeness : float
        How unusual the mouth is, squared; about 1 is expected, 4 where mouths differ twice as much.
    is_unlike : bool
        Whether marks or mouth are unlike those the estimate was made for: the way to move is
        likely, how far cannot be told.
    doubtful_marks : tuple of DoubtfulMark
        Marks to check, the one that stands out most first.
    rim_radius_mm : float
        From the receptor's middle to the tube's rim. [mm]
    beam_margin_mm : float or None
        Beam left around the active area once moved; negative is a cone cut. [mm]
    held_by : HeldApart or None
        The receptor's misplacement that keeps teeth apart, or likely does: mended, they can close.
    slips : MarkSlips
        What is to be asked of the marks before they are believed.
    is_hopeless : bool
        Whether the marks fit no exposure that a mouth allows: then nothing is told.
    closed_spaces : tuple of str
        Pairs of teeth, as "13-15", that stand together where the estimate keeps a missing tooth's
        space: then no movement is told.
    of_known_mouth : bool
        Whether the mouth was known: then its set-up is planned for it, and not the general plan's.
    ring_offset : Estimated or None
        `ring_offset_deg` of the best exposure; None where none is told. [deg]
    cone_cut_mm : mapping or None
        What a cone cut seen on the film left blank at each edge and corner that it cuts, empty
        where its edge is not marked; None where none was seen. [mm]
    answers : Answers
        From the chairside, weighed with the marks.
    bite_against_marks : bool
        Whether the marks contradict strongly what was answered of the bite.
    asks : ChairsideQuestion or None
        What would tell the causes apart that are still in doubt; None where one is sure, or no
        question is expected to tell much.
    """

    verdict: Verdict
    movements: tuple[Movement, ...]
    causes: tuple[Cause, ...]
    settling_marks: tuple[str, ...]
    misfit: float
    strangeness: float
    is_unlike: bool
    doubtful_marks: tuple[DoubtfulMark, ...]
    rim_radius_mm: float
    beam_margin_mm: float | None
    held_by: HeldApart | None = None
    slips: MarkSlips = field(default_factory=MarkSlips)
    is_hopeless: bool = False
    closed_spaces: tuple[str, ...] = ()
    of_known_mouth: bool = False
    ring_offset: Estimated | None = None
    cone_cut_mm: Mapping[BeamPlace, float] | None = None
    answers: Answers = field(default_factory=dict)
    bite_against_marks: bool = False
    asks: ChairsideQuestion | None = None

    @property
    def teeth_touched(self) -> bool:
        """Whether somebody saw the teeth touch the bite block, and the marks let that stand."""
        return not self.bite_against_marks and self.answers.get(ChairsideQuestion.BITE, False)

    @property
    def marks_come_first(self) -> bool:
        """Whether the marks have to be put right before anything can be told from them."""
        return self.is_hopeless or self.slips.come_first

    @property
    def sure_swing(self) -> Movement | None:
        """The tube's swing, where its way is told, of marks that are believed; else nothing."""
        swing = self.of(Part.SWING)
        sure = swing.need is Need.MOVE and self.verdict is Verdict.MOVE and not self.slips
        return swing if sure else None

    def of(self, part: Part) -> Movement:
        """The movement of a part."""
        return next(each for each in self.movements if each.part is part)

    def with_cone_cut(self, cut_mm: Mapping[BeamPlace, float]) -> "Correction":
        """The same of a film with a cone cut seen: then something has to move."""
        verdict = Verdict.CANNOT_TELL if self.verdict is Verdict.CANNOT_TELL else Verdict.MOVE
        return replace(self, verdict=verdict, cone_cut_mm=dict(cut_mm))


__all__ = [
    "COVERAGE",
    "SD_TO_END",
    "Cause",
    "CauseName",
    "Correction",
    "Estimated",
    "HeldApart",
    "Movement",
    "Need",
    "Part",
    "Spared",
    "Verdict",
    "unit_of",
]

"""The plan of a visit for a page: what it was asked, as text, and its answer, made once."""

import re
from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass

from bitewright.equipment.catalogue import Catalogue
from bitewright.errors import BitewrightError, quoted
from bitewright.estimation.mouth_belief import MouthBelief
from bitewright.mouth.mouth_description import mouth_to_description
from bitewright.mouth.numbering import Side, ToothName
from bitewright.report.card_page import CardSize
from bitewright.steps import Begin
from bitewright.tasks.catalogue.named import named_equipment
from bitewright.tasks.catalogue.named_mouths import known_mouth, mouth_names, mouth_title
from bitewright.tasks.made_once import MadeOnce
from bitewright.tasks.plan.chair_card import cards_file
from bitewright.tasks.rated_by import RatedBy
from bitewright.tasks.visit.given_files import (
    HAND,
    MOUTH,
    NotKeptAnyMoreError,
    given_file,
)
from bitewright.tasks.visit.plan_visit import VisitPlan, plan_visit
from bitewright.tasks.visit.planned_mouth import planned_mouth
from bitewright.tasks.visit.visit_wish import visit_wish

USUAL_RECEPTOR, USUAL_HOLDER, USUAL_TUBE = "sensor-2", "ring-holder", "rectangular-300"
SIDES = (("both", "both sides"), ("right", "the right side"), ("left", "the left side"))
MOST_KEPT = 8


class NotTeethError(BitewrightError):
    """What was typed as teeth is none."""

    def __init__(self, given: str) -> None:
        self.given = given
        super().__init__(
            f"{quoted(given)} is no list of teeth: give their ISO 3950 codes, such as 15 16."
        )


class UnknownSideError(BitewrightError):
    """A side is asked for that there is not."""

    def __init__(self, given: str) -> None:
        self.given = given
        super().__init__(f"The side {quoted(given)} is not known: give both, right or left.")


class OneMouthError(BitewrightError):
    """Several mouths are meant."""

    def __init__(self) -> None:
        super().__init__(
            "One mouth can be meant: choose a mouth by name, a visit whose films taught it, or a "
            "file, and leave the others empty."
        )


class LostInLearnedError(BitewrightError):
    """Teeth are said to be lost in a mouth whose films said which are there."""

    def __init__(self) -> None:
        super().__init__(
            "What films taught says already which teeth are there: name no teeth that are lost, or "
            "plan without what they taught."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class WhoseMouth:
    """The mouth that is meant, in one of three ways; where all are empty nobody knows it.

    Parameters
    ----------
    mouth : str
        By name.
    taught : str
        A visit of the light box whose films taught it.
    learned : str
        The key of a learned mouth that was given.
    """

    mouth: str = ""
    taught: str = ""
    learned: str = ""


NOT_KNOWN = WhoseMouth()


@dataclass(frozen=True, slots=True, kw_only=True)
class Taught:
    """What films teach of the mouth that is meant.

    Parameters
    ----------
    state : hashable
        Changes when these films do.
    learn : callable
        Gives what they teach.
    """

    state: Hashable
    learn: Callable[[], MouthBelief]


@dataclass(frozen=True, slots=True, kw_only=True)
class VisitToPlan:
    """What a page asks, as text.

    Parameters
    ----------
    side : str
        "both", "right" or "left".
    teeth, lost : str
        ISO 3950 codes with spaces or commas between; empty for all, or none.
    receptor : str
        The usual one.
    own : tuple of str
        Further receptors that the room has.
    hand : str
        The key of an operator's Scatter that was given; empty for none.
    whose : WhoseMouth
    """

    side: str = "both"
    teeth: str = ""
    lost: str = ""
    receptor: str = USUAL_RECEPTOR
    own: tuple[str, ...] = ()
    hand: str = ""
    whose: WhoseMouth = NOT_KNOWN


_made = MadeOnce[tuple[object, ...], VisitPlan](MOST_KEPT)


def asked_plan(
    asked: VisitToPlan,
    known: Catalogue,
    by: RatedBy,
    begin: Begin,
    *,
    taught: Taught | None = None,
) -> VisitPlan:
    """The plan of a visit, in the mouth that is meant: one that nobody knows, where none is.

    Raises
    ------
    NotTeethError, UnknownSideError, OneMouthError, LostInLearnedError
    BitewrightError
        As `plan_visit`, `visit_wish`, `known_mouth` and `given_file`, and what `taught` raises.
    """
    if asked.side not in dict(SIDES):
        raise UnknownSideError(asked.side)
    if sum(bool(each) for each in (asked.whose.mouth, asked.whose.taught, asked.whose.learned)) > 1:
        raise OneMouthError
    if asked.lost.strip() and (asked.whose.taught or asked.whose.learned):
        raise LostInLearnedError
    hand, learned = given_file(asked.hand), given_file(asked.whose.learned)
    wish = visit_wish(
        known,
        named_equipment(known, receptor=asked.receptor, holder=USUAL_HOLDER, tube=USUAL_TUBE),
        (*asked.own, asked.receptor, USUAL_HOLDER) if asked.own else (),
        by=by,
        sides=tuple(side for side in Side if asked.side in ("both", side.value)),
        teeth=_teeth(asked.teeth),
        scatter=None if hand is None else hand.scatter,
    )
    mouth = known_mouth(asked.whose.mouth) if asked.whose.mouth else None
    described = "" if mouth is None else str(mouth_to_description(mouth))

    def make() -> VisitPlan:
        belief = None if learned is None else learned.belief
        if taught is not None:
            belief = taught.learn()
        within = planned_mouth(mouth, belief, _teeth(asked.lost))
        return plan_visit(wish, within, begin=begin)

    return _made.of((asked, by.question, taught and taught.state, described), make)


def asked_cards(
    asked: VisitToPlan,
    known: Catalogue,
    by: RatedBy,
    begin: Begin,
    *,
    taught: Taught | None = None,
) -> bytes:
    """The chair cards of a visit's films as PDF; errors as `asked_plan`."""
    cards = asked_plan(asked, known, by, begin, taught=taught).cards(begin)
    return cards_file(cards, ".pdf", CardSize.HAND)


def given_words(asked: VisitToPlan) -> dict[str, str]:
    """What is said of each file that was given, by what it is; empty where there is none."""
    said = {}
    for kind, key in ((MOUTH, asked.whose.learned), (HAND, asked.hand)):
        try:
            found = given_file(key)
        except NotKeptAnyMoreError:  # told where the plan is made
            found = None
        said[kind] = "" if found is None else found.said
    return said


def mouths_offered() -> tuple[tuple[str, str], ...]:
    """The mouths there are, by name and as they are called."""
    return tuple((name, mouth_title(name)) for name in mouth_names())


def receptors_offered(known: Catalogue) -> tuple[tuple[str, str], ...]:
    """The receptors there are, by name and as they are called."""
    return tuple((name, each.title) for name, each in known.receptors.items())


def _teeth(text: str) -> Sequence[int]:
    parts = [each for each in re.split(r"[\s,;]+", text.strip()) if each]
    try:
        return tuple(sorted({ToothName(int(each)).code for each in parts}))
    except (ValueError, BitewrightError) as error:
        raise NotTeethError(text) from error


__all__ = [
    "SIDES",
    "LostInLearnedError",
    "NotTeethError",
    "OneMouthError",
    "Taught",
    "UnknownSideError",
    "VisitToPlan",
    "WhoseMouth",
    "asked_cards",
    "asked_plan",
    "given_words",
    "mouths_offered",
    "receptors_offered",
]

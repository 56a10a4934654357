"""The plan of a visit for a page: what it was asked, as text, and its answer, made once."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from bitewright.equipment.catalogue import Catalogue
from bitewright.errors import BitewrightError, quoted
from bitewright.mouth.numbering import Side, ToothName
from bitewright.quality.questions import AnyQuestion
from bitewright.report.card_page import CardSize
from bitewright.steps import Begin
from bitewright.tasks.catalogue.named import named_equipment
from bitewright.tasks.made_once import MadeOnce
from bitewright.tasks.plan.chair_card import cards_file
from bitewright.tasks.rated_by import RatedBy
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
    """

    side: str = "both"
    teeth: str = ""
    lost: str = ""
    receptor: str = USUAL_RECEPTOR
    own: tuple[str, ...] = ()


_made = MadeOnce[tuple[VisitToPlan, AnyQuestion], VisitPlan](MOST_KEPT)


def asked_plan(asked: VisitToPlan, known: Catalogue, by: RatedBy, begin: Begin) -> VisitPlan:
    """The plan of a visit, in a mouth that nobody knows.

    Raises
    ------
    NotTeethError, UnknownSideError
    BitewrightError
        As `plan_visit` and `visit_wish`.
    """
    if asked.side not in dict(SIDES):
        raise UnknownSideError(asked.side)
    wish = visit_wish(
        known,
        named_equipment(known, receptor=asked.receptor, holder=USUAL_HOLDER, tube=USUAL_TUBE),
        (*asked.own, asked.receptor, USUAL_HOLDER) if asked.own else (),
        by=by,
        sides=tuple(side for side in Side if asked.side in ("both", side.value)),
        teeth=_teeth(asked.teeth),
    )
    within = planned_mouth(lost=_teeth(asked.lost))
    return _made.of((asked, by.question), lambda: plan_visit(wish, within, begin=begin))


def asked_cards(asked: VisitToPlan, known: Catalogue, by: RatedBy, begin: Begin) -> bytes:
    """The chair cards of a visit's films as PDF; errors as `asked_plan`."""
    cards = asked_plan(asked, known, by, begin).cards(begin)
    return cards_file(cards, ".pdf", CardSize.HAND)


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
    "NotTeethError",
    "UnknownSideError",
    "VisitToPlan",
    "asked_cards",
    "asked_plan",
    "receptors_offered",
]

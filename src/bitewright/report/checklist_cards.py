"""Checklists by fault as cards to print: eight to an A4 page, each with boxes to tick."""

import json
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from importlib.resources import files

from bitewright.report import palette
from bitewright.report.typeset import typeset_pdf
from bitewright.words.chair_card import CARD_CAUTION
from bitewright.words.checklists import CARDS_SAY, CARDS_TITLE


@dataclass(frozen=True, slots=True, kw_only=True)
class ChecklistCard:
    """One card: the fault, what it is, what to look at in order, and where that is from."""

    title: str
    says: str
    looks: tuple[str, ...]
    source: str


def checklist_cards_pdf(cards: Sequence[ChecklistCard], *, made: str) -> bytes:
    """Tagged PDF of the cards."""
    template = files("bitewright.report") / "templates" / "checklists.typ"
    content = {
        "title": CARDS_TITLE,
        "says": CARDS_SAY,
        "cards": [asdict(card) for card in cards],
        "caution": CARD_CAUTION,
        "made": made,
        "colours": {name: getattr(palette, name) for name in ("INK", "QUIET", "RULE", "CALM")},
    }
    return typeset_pdf(
        {"main.typ": template.read_bytes(), "checklists.json": json.dumps(content).encode()}
    )


__all__ = ["ChecklistCard", "checklist_cards_pdf"]

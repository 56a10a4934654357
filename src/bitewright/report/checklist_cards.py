"""Checklists by fault as cards to print: many to an A4 page, or a few on a small one."""

import json
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from enum import StrEnum
from importlib.resources import files

from bitewright.report import palette
from bitewright.report.html_page import page_of
from bitewright.report.typeset import typeset_pdf
from bitewright.words.chair_card import CARD_CAUTION
from bitewright.words.checklists import CARDS_SAY, CARDS_TITLE


class ChecklistPaper(StrEnum):
    """Paper that cards are printed on."""

    A4 = "a4"
    A5 = "a5"
    A6 = "a6"


@dataclass(frozen=True, slots=True, kw_only=True)
class ChecklistCard:
    """One card: the fault, what it is, what to look at in order, and where that is from.

    ``noted``: how often it was seen here; empty where nobody counted.
    """

    title: str
    says: str
    looks: tuple[str, ...]
    source: str
    noted: str = ""


def checklist_cards_pdf(
    cards: Sequence[ChecklistCard],
    *,
    made: str,
    title: str = CARDS_TITLE,
    says: str = CARDS_SAY,
    paper: ChecklistPaper = ChecklistPaper.A4,
) -> bytes:
    """Tagged PDF of the cards."""
    template = files("bitewright.report") / "templates" / "checklists.typ"
    content = {
        "title": title,
        "says": says,
        "paper": paper.value,
        "cards": [asdict(card) for card in cards],
        "caution": CARD_CAUTION,
        "made": made,
        "colours": {name: getattr(palette, name) for name in ("INK", "QUIET", "RULE", "CALM")},
    }
    return typeset_pdf(
        {"main.typ": template.read_bytes(), "checklists.json": json.dumps(content).encode()}
    )


def checklist_cards_html(
    cards: Sequence[ChecklistCard], *, made: str, title: str, says: str, paper: ChecklistPaper
) -> str:
    """The same as one web page that prints on that paper."""
    return page_of(
        "checklists.html",
        cards=cards,
        title=title,
        says=says,
        paper=paper.value,
        made=made,
        caution=CARD_CAUTION,
        colours=palette,
    )


__all__ = ["ChecklistCard", "ChecklistPaper", "checklist_cards_html", "checklist_cards_pdf"]

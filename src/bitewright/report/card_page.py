"""Chair cards as a PDF or as one web page: one to a page, or four."""

import json
from dataclasses import asdict, dataclass
from enum import StrEnum
from importlib.resources import files

from bitewright.report import palette
from bitewright.report.html_page import page_of
from bitewright.report.shapes import Drawing
from bitewright.report.svg import svg_of
from bitewright.report.typeset import typeset_pdf
from bitewright.words.chair_card import CARD_CAUTION, LOOKS_TITLE, CardWords


class CardSize(StrEnum):
    """A card to hold, or one for the wall."""

    HAND = "hand"
    WALL = "wall"


PAPERS = {
    (CardSize.HAND, False): "a5",
    (CardSize.HAND, True): "a4",
    (CardSize.WALL, False): "a4",
    (CardSize.WALL, True): "a3",
}
"""Paper by size and by whether four cards share it."""

MILLIMETRES = {"a5": (148, 210), "a4": (210, 297), "a3": (297, 420)}


@dataclass(frozen=True, slots=True, kw_only=True)
class ChairCard:
    """One card: words and drawing."""

    words: CardWords
    drawing: Drawing


def cards_pdf(cards: tuple[ChairCard, ...], *, size: CardSize, made: str) -> bytes:
    """Tagged PDF of one card, or of up to four on a page."""
    template = files("bitewright.report") / "templates" / "card.typ"
    drawn = {
        f"card-{number}.svg": svg_of(card.drawing).encode() for number, card in enumerate(cards)
    }
    content = _shared(size, made, many=len(cards) > 1) | {
        "cards": [asdict(card.words) | {"alt": card.drawing.description} for card in cards],
        "colours": {name: getattr(palette, name) for name in ("INK", "QUIET", "RULE", "CALM")},
    }
    return typeset_pdf(
        {"main.typ": template.read_bytes(), "cards.json": json.dumps(content).encode(), **drawn}
    )


def cards_html(cards: tuple[ChairCard, ...], *, size: CardSize, made: str) -> str:
    """The same as one web page that prints on the same paper."""
    return page_of(
        "card.html",
        cards=cards,
        colours=palette,
        **_shared(size, made, many=len(cards) > 1),
    )


def _shared(size: CardSize, made: str, *, many: bool) -> dict[str, object]:
    paper = PAPERS[size, many]
    return {
        "paper": paper,
        "width": MILLIMETRES[paper][0],
        "height": MILLIMETRES[paper][1],
        "many": many,
        "made": made,
        "caution": CARD_CAUTION,
        "titles": {"looks": LOOKS_TITLE},
    }


__all__ = ["CardSize", "ChairCard", "cards_html", "cards_pdf"]

"""A tip sheet for the wall as PDF: a film, what to move, the drawing, the checklist."""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from importlib.resources import files

from bitewright.log.checklists import Checklist
from bitewright.marking.raw_image import RawImage
from bitewright.report import palette
from bitewright.report.film_png import film_png
from bitewright.report.shapes import Drawing
from bitewright.report.svg import svg_of
from bitewright.report.typeset import typeset_pdf
from bitewright.words import tip_sheet as words
from bitewright.words.caution import CAUTION
from bitewright.words.checklists import HERE_TITLE

WIDTH_PX = 900
"""Films are shown so wide. Our choice. [px]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class TipPage:
    """What a tip sheet shows; ``drawing`` None where the marks tell no movement."""

    title: str
    reading: str
    films: Sequence[tuple[str, RawImage]]
    move: str
    drawing: Drawing | None
    checklist: Checklist
    consent: str
    made: str


def tip_pdf(sheet: TipPage) -> bytes:
    """Tagged PDF of a tip sheet. The films are drawn afresh: nothing of their files goes in."""
    template = files("bitewright.report") / "templates" / "tip.typ"
    content = {
        "title": sheet.title,
        "reading": sheet.reading,
        "films": [{"title": title, "alt": words.film_alt(title)} for title, _ in sheet.films],
        "move_title": words.MOVE,
        "move": sheet.move,
        "drawn_title": words.DRAWN,
        "drawing_alt": "" if sheet.drawing is None else sheet.drawing.description,
        "looks_title": HERE_TITLE,
        "looks": list(sheet.checklist.looks),
        "source": sheet.checklist.source,
        "consent": sheet.consent,
        "caution": CAUTION,
        "made": sheet.made,
        "colours": {name: getattr(palette, name) for name in ("INK", "QUIET", "CALM")},
    }
    beside = {
        f"film-{k}.png": film_png(image, most_px=WIDTH_PX)
        for k, (_, image) in enumerate(sheet.films)
    }
    if sheet.drawing is not None:
        beside["drawing.svg"] = svg_of(sheet.drawing).encode()
    given = {"main.typ": template.read_bytes(), "tip.json": json.dumps(content).encode()}
    return typeset_pdf({**given, **beside})


__all__ = ["TipPage", "tip_pdf"]

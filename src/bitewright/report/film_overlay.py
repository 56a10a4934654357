"""A real film with its marks, contacts and rating drawn on it, for a person to check."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

from bitewright.marking.assess import Assessment
from bitewright.marking.marks import MarkedFilm, MarkStatus
from bitewright.marking.raw_image import RawImage
from bitewright.quality.findings import ContactFinding, Finding
from bitewright.quality.rating import ContactState, Outcome, RatingScheme
from bitewright.words.caution import CAUTION
from bitewright.words.reasons import reason

Picture = NDArray[np.uint8]

WIDTH_PX = 1400
PANEL_PX = 470
INK = (232, 230, 224)
QUIET = (150, 150, 146)
GROUND = (18, 19, 22)

# Every state has a sign of its own, so that colour alone carries nothing.
STATE_SIGNS = {
    ContactState.OPEN: ("=", "open", (120, 200, 150)),
    ContactState.SLIGHT: ("~", "slight", (235, 200, 110)),
    ContactState.UNREADABLE: ("x", "unreadable", (240, 130, 110)),
    ContactState.NOT_SHOWN: ("-", "not shown", (170, 170, 170)),
    ContactState.UNKNOWN: ("?", "cannot tell", (170, 170, 170)),
}
OUTCOME_SIGNS = {
    Outcome.MET: ("=", (120, 200, 150)),
    Outcome.SHORT: ("~", (235, 200, 110)),
    Outcome.FAILED: ("x", (240, 130, 110)),
    Outcome.UNKNOWN: ("?", (170, 170, 170)),
}


def film_overlay(
    raw: RawImage, film: MarkedFilm, assessment: Assessment, *, grade: str, scheme: RatingScheme
) -> Picture:
    """Draw the film with marks, contact states and findings beside it, (rows, columns, 3)."""
    grey = (raw.pixels.astype(np.float64) * (255.0 / (2**raw.bits - 1))).astype(np.uint8)
    scale = WIDTH_PX / raw.columns
    image = Image.fromarray(grey).resize(
        (WIDTH_PX, round(raw.rows * scale)), Image.Resampling.LANCZOS
    )
    height = max(image.height, 980)
    canvas = Image.new("RGB", (WIDTH_PX + PANEL_PX, height), GROUND)
    canvas.paste(image.convert("RGB"), (0, 0))
    draw = ImageDraw.Draw(canvas)
    _draw_marks(draw, film, scale)
    for contact in assessment.contacts:
        _draw_contact(draw, film, contact, scale)
    _draw_panel(draw, _Panel(assessment, grade, scheme))
    return np.asarray(canvas)


@dataclass(frozen=True, slots=True)
class _Panel:
    assessment: Assessment
    grade: str
    scheme: RatingScheme


def _font(size: int) -> ImageFont.FreeTypeFont | ImageFont.ImageFont:
    return ImageFont.load_default(size)


def _draw_marks(draw: ImageDraw.ImageDraw, film: MarkedFilm, scale: float) -> None:
    for name, mark in film.marks.items():
        if mark.status is not MarkStatus.SEEN or mark.x_px is None or mark.y_px is None:
            continue
        x, y = mark.x_px * scale, mark.y_px * scale
        if name.endswith(".crest"):
            draw.line([(x - 7, y), (x + 7, y)], fill=(130, 190, 240), width=2)
        elif name.endswith(".cej"):
            draw.ellipse([x - 4, y - 4, x + 4, y + 4], outline=(220, 170, 230), width=2)
        elif name.endswith(".cusp"):
            draw.polygon([(x, y - 5), (x + 5, y + 4), (x - 5, y + 4)], outline=(235, 200, 110))
        elif name.endswith(".dej"):
            draw.line([(x, y - 6), (x, y + 6)], fill=(200, 200, 200), width=1)
        else:
            draw.line([(x, y - 9), (x, y + 9)], fill=(120, 220, 160), width=2)


def _draw_contact(
    draw: ImageDraw.ImageDraw, film: MarkedFilm, contact: ContactFinding, scale: float
) -> None:
    front, back = contact.name.split("-")
    marks = [film.marks.get(f"{front}.distal"), film.marks.get(f"{back}.mesial")]
    places = [
        (mark.x_px * scale, mark.y_px * scale)
        for mark in marks
        if mark is not None and mark.x_px is not None and mark.y_px is not None
    ]
    if not places:
        return
    x = sum(place[0] for place in places) / len(places)
    y = sum(place[1] for place in places) / len(places)
    sign, _, colour = STATE_SIGNS[contact.state]
    upper = front[0] in "12"
    label_y = y - 74 if upper else y + 40
    value = "" if contact.overlap_mm is None else f" {contact.overlap_mm:+.2f}"
    text = f"{sign} {contact.name}{value}"
    draw.line([(x, y + (-12 if upper else 12)), (x, label_y + (30 if upper else 0))], fill=colour)
    box = draw.textbbox((x, label_y), text, font=_font(20), anchor="ma")
    draw.rectangle([box[0] - 5, box[1] - 3, box[2] + 5, box[3] + 4], fill=GROUND, outline=colour)
    draw.text((x, label_y), text, font=_font(20), fill=colour, anchor="ma")


def _draw_panel(draw: ImageDraw.ImageDraw, panel: _Panel) -> None:
    x, y = WIDTH_PX + 24, 22
    draw.text((x, y), panel.assessment.view.title, font=_font(28), fill=INK)
    draw.text((x, y + 40), f"Rating {panel.grade}", font=_font(40), fill=INK)
    y = _wrapped(draw, panel.scheme.in_full, (x, y + 92), 16, QUIET) + 12
    for finding in panel.assessment.findings:
        y = _draw_finding(draw, finding, (x, y)) + 8
    y += 8
    for sign, word, colour in STATE_SIGNS.values():
        draw.text((x, y), f"{sign} {word}", font=_font(16), fill=colour)
        y += 22
    keys = (
        "lines: proximal edges; level bars: crest; rings: cemento-enamel junction; triangles: cusps"
    )
    y = _wrapped(draw, keys, (x, y + 4), 15, QUIET)
    _wrapped(draw, CAUTION, (x, y + 8), 15, QUIET)


def _draw_finding(draw: ImageDraw.ImageDraw, finding: Finding, at: tuple[int, int]) -> int:
    sign, colour = OUTCOME_SIGNS[finding.outcome]
    draw.text(at, sign, font=_font(20), fill=colour)
    return _wrapped(draw, reason(finding), (at[0] + 22, at[1]), 17, INK)


def _wrapped(
    draw: ImageDraw.ImageDraw,
    text: str,
    at: tuple[int, int],
    size: int,
    colour: tuple[int, int, int],
) -> int:
    """Write text in lines that fit the panel; returns where the next line may begin."""
    x, y = at
    width = WIDTH_PX + PANEL_PX - 16 - x
    line = ""
    for word in text.split():
        longer = f"{line} {word}".strip()
        if line and draw.textlength(longer, font=_font(size)) > width:
            draw.text((x, y), line, font=_font(size), fill=colour)
            y += round(size * 1.3)
            line = word
        else:
            line = longer
    draw.text((x, y), line, font=_font(size), fill=colour)
    return y + round(size * 1.3)


__all__ = ["film_overlay"]

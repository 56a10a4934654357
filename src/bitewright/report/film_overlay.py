"""A real film with its marks, contacts and rating drawn on it, for a person to check."""

from collections.abc import Iterator, Sequence

from bitewright.marking.assess import Assessment
from bitewright.marking.marks import Mark, MarkedFilm, MarkOrigin, MarkStatus
from bitewright.marking.raw_image import RawImage
from bitewright.quality.findings import ContactFinding
from bitewright.quality.rating_schemes import RatingScheme
from bitewright.report.film_pixels import shown_pixels
from bitewright.report.palette import DIM, GROUND, LIGHT, MARKS, SIGNS
from bitewright.report.shapes import (
    Dot,
    Drawing,
    Line,
    Picture,
    Place,
    Shape,
    Words,
    text_width,
    upright_box,
    wrapped,
)
from bitewright.words.caution import CAUTION
from bitewright.words.drawing import MARKS_KEY, ORIGINS_KEY, OVERLAY, overlay_title
from bitewright.words.reasons import reason
from bitewright.words.verdicts import OUTCOME_SIGNS, STATE_SIGNS, STATE_WORDS

WIDTH_PX = 1400
PANEL_PX = 470
LEAST_HEIGHT_PX = 980
LABEL_PX = 20
LEADING = 1.3
AROUND_PX = 12.0


def film_overlay(
    raw: RawImage, film: MarkedFilm, assessment: Assessment, *, grade: str, scheme: RatingScheme
) -> Drawing:
    """Draw the film with marks, contact states and findings beside it."""
    scale = WIDTH_PX / raw.columns
    size = (WIDTH_PX, round(raw.rows * scale))
    shapes: list[Shape] = [
        Picture(place=(0, 0), pixels=shown_pixels(raw.pixels, bits=raw.bits, size=size)),
        *_marks(film, scale),
    ]
    for contact in assessment.contacts:
        shapes += _contact(film, contact, scale)
    return Drawing(
        width=WIDTH_PX + PANEL_PX,
        height=max(size[1], LEAST_HEIGHT_PX),
        title=overlay_title(assessment.view.title, grade),
        description=OVERLAY,
        shapes=(*shapes, *_panel(assessment, grade, scheme, keys=_keys(film))),
        ground=GROUND,
    )


def _marks(film: MarkedFilm, scale: float) -> Iterator[Shape]:
    for name, mark in film.marks.items():
        if mark.status is not MarkStatus.SEEN or mark.x_px is None or mark.y_px is None:
            continue
        kind, x, y = name.rpartition(".")[2], mark.x_px * scale, mark.y_px * scale
        yield _mark(kind, x, y)
        yield from _origin(mark, x, y, MARKS.get(kind, MARKS["edge"]))


def _origin(mark: Mark, x: float, y: float, colour: str) -> Iterator[Shape]:
    """What became of a mark that was proposed, as on the light box; nothing by a person's own."""
    if mark.origin is MarkOrigin.CONFIRMED:
        tick = ((x + 5, y - 9), (x + 8, y - 6), (x + 14, y - 14))
        yield Line(places=tick, colour=colour, width=1.6)
    elif mark.origin is MarkOrigin.CORRECTED:
        yield Line(places=((x + 5, y - 9), (x + 14, y - 9)), colour=colour, width=2.4)
    elif mark.origin is MarkOrigin.PROPOSED:
        corners = ((x, y - AROUND_PX), (x + AROUND_PX, y), (x, y + AROUND_PX), (x - AROUND_PX, y))
        yield Line(places=corners, colour=colour, width=1, closed=True)


def _mark(kind: str, x: float, y: float) -> Shape:
    colour = MARKS.get(kind, MARKS["edge"])
    if kind == "crest":
        return Line(places=((x - 7, y), (x + 7, y)), colour=colour, width=2)
    if kind == "cej":
        return Dot(place=(x, y), radius=3.5, fill=None, colour=colour, width=1.6)
    if kind == "cusp":
        corners = ((x, y - 5), (x + 5, y + 4), (x - 5, y + 4))
        return Line(places=corners, colour=colour, width=1.2, closed=True)
    if kind == "dej":
        return Line(places=((x, y - 6), (x, y + 6)), colour=colour, width=1)
    return Line(places=((x, y - 9), (x, y + 9)), colour=colour, width=2)


def _contact(film: MarkedFilm, contact: ContactFinding, scale: float) -> list[Shape]:
    """A contact's state and overlap in a box, beside it where no other contact lies."""
    front, back = contact.name.split("-")
    marks = [film.marks.get(f"{front}.distal"), film.marks.get(f"{back}.mesial")]
    places = [
        (mark.x_px * scale, mark.y_px * scale)
        for mark in marks
        if mark is not None and mark.x_px is not None and mark.y_px is not None
    ]
    if not places:
        return []
    x = sum(place[0] for place in places) / len(places)
    y = sum(place[1] for place in places) / len(places)
    sign = STATE_SIGNS[contact.state]
    colour = SIGNS[sign]
    upper = front[0] in "12"
    base = y - 58 if upper else y + 56
    value = "" if contact.overlap_mm is None else f" {contact.overlap_mm:+.2f}"
    text = f"{sign} {contact.name}{value}"
    half = 0.5 * text_width(text, LABEL_PX) + 2
    label = upright_box(x - half, base - 18, 2 * half, 25)
    return [
        Line(places=((x, y - 12 if upper else y + 12), (x, base)), colour=colour, width=1),
        Line(places=label, colour=colour, width=1, closed=True, fill=GROUND),
        _light((x, base), text, LABEL_PX, colour=colour, anchor="middle"),
    ]


def _keys(film: MarkedFilm) -> tuple[str, ...]:
    """What the signs on the film mean, as far as it has them."""
    has_proposed = any(mark.origin is not None for mark in film.marks.values())
    return (MARKS_KEY, *((ORIGINS_KEY,) if has_proposed else ()), CAUTION)


def _panel(
    assessment: Assessment, grade: str, scheme: RatingScheme, *, keys: Sequence[str]
) -> Iterator[Shape]:
    left, y = WIDTH_PX + 24.0, 46.0
    yield _light((left, y), assessment.view.title, 28)
    yield _light((left, y + 50), f"Rating {grade}", 40)
    shapes, y = _paragraph(scheme.in_full, (left, y + 80), 16, DIM)
    yield from shapes
    y += 14
    for finding in assessment.findings:
        sign = OUTCOME_SIGNS[finding.outcome]
        yield _light((left, y), sign, 20, colour=SIGNS[sign])
        shapes, y = _paragraph(reason(finding), (left + 22, y), 17, LIGHT)
        yield from shapes
        y += 8
    y += 8
    for state, sign in STATE_SIGNS.items():
        yield _light((left, y), f"{sign} {STATE_WORDS[state]}", 16, colour=SIGNS[sign])
        y += 22
    for text in keys:
        shapes, y = _paragraph(text, (left, y + 6), 15, DIM)
        yield from shapes


def _paragraph(text: str, at: Place, size: int, colour: str) -> tuple[list[Shape], float]:
    """Text in lines that fit the panel, and the base line on which the next may begin."""
    x, y = at
    lines = wrapped(text, WIDTH_PX + PANEL_PX - 16 - x, size)
    leading = LEADING * size
    words = [
        _light((x, y + leading * k), line, size, colour=colour) for k, line in enumerate(lines)
    ]
    return [*words], y + leading * len(lines)


def _light(
    place: Place, text: str, size: int, *, colour: str = LIGHT, anchor: str = "start"
) -> Words:
    return Words(place=place, text=text, colour=colour, size=size, anchor=anchor, halo=None)


__all__ = ["film_overlay"]

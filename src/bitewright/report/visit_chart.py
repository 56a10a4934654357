"""Both arches as they stand before the viewer, every surface and crest signed by what shows it."""

from collections.abc import Mapping

from bitewright.report.palette import EDGE, INK, QUIET, TOOTH, TOOTH_EDGE, WHITE
from bitewright.report.shapes import Drawing, Line, Shape, Words, upright_box, wrapped
from bitewright.visit.ledger import Ledger, LedgerRow, Reading
from bitewright.visit.sites import CREST
from bitewright.words.visits import CHART_NOTE, READING_MEANS, READING_SIGNS, READINGS

WIDTH, MARGIN = 1100, 30
TOOTH_WIDTH_PX = {3: 66.0, 4: 66.0, 5: 66.0, 6: 82.0}
"""By place, molars as the first: room for two signs, no tooth's own measure."""
GAP_PX = 5.0
MIDDLE_PX = 70.0
TOOTH_PX = 78.0
SIGN_PX = 24.0
CREST_PX = 22.0
COLOURS = {
    Reading.READABLE: "#d3ecd9",
    Reading.DOUBTFUL: "#f6e3a8",
    Reading.NOT_MARKED: "#e4e4e4",
    Reading.HIDDEN: "#f3b8a8",
    Reading.OFF: "#f3b8a8",
    Reading.NOT_TAKEN: "#f3d5cb",
}
"""Ground under a sign; the sign says the same without it."""


def visit_chart(
    of: Ledger, heading: str, sentences: tuple[str, ...], *, words_above: bool = True
) -> Drawing:
    """The chart of one visit: the answer above, arches between, what signs mean below.

    ``words_above``: whether heading and answer are drawn too; a page has them already.
    """
    rows = {row.name: row for row in of.rows}
    shapes: list[Shape] = []
    y = 8.0
    if words_above:
        shapes.append(Words(place=(MARGIN, 36), text=heading, size=20, bold=True))
        y = 62.0
        for sentence in sentences:
            for line in wrapped(sentence, WIDTH - 2 * MARGIN, 17):
                shapes.append(Words(place=(MARGIN, y), text=line, size=17))
                y += 22
    top = y + 22
    for upper in (True, False):
        shapes += _arch(rows, of.absent, top, upper=upper)
        top += TOOTH_PX + CREST_PX + 44
    shapes += _sides(y + 12, top)
    height = int(top + _legend(shapes, top) + 12)
    return Drawing(
        width=WIDTH,
        height=height,
        title=heading,
        description=" ".join(sentences),
        shapes=tuple(shapes),
    )


def _arch(
    rows: Mapping[str, LedgerRow], absent: tuple[int, ...], top: float, *, upper: bool
) -> list[Shape]:
    """One arch, the patient's right on the viewer's left, crests on the roots' side."""
    shapes: list[Shape] = []
    for quadrant in (1, 2) if upper else (4, 3):
        to_left = quadrant in (1, 4)
        codes = [10 * quadrant + place for place in range(3, 9)]
        x = WIDTH / 2 + (-MIDDLE_PX if to_left else MIDDLE_PX) / 2
        for code in codes:
            if code % 10 == 8 and not any(name.startswith(f"{code}.") for name in rows):
                continue
            width = TOOTH_WIDTH_PX[min(code % 10, 6)]
            left = x - width if to_left else x
            shapes += _tooth(rows, code, left, width, top, upper=upper, is_absent=code in absent)
            x += (-1 if to_left else 1) * (width + GAP_PX)
    return shapes


def _tooth(
    rows: Mapping[str, LedgerRow],
    code: int,
    left: float,
    width: float,
    top: float,
    *,
    upper: bool,
    is_absent: bool,
) -> list[Shape]:
    crown = top + (CREST_PX + 4 if upper else 0)
    box = upright_box(left, crown, width, TOOTH_PX)
    name = Words(
        place=(left + width / 2, crown + (20 if upper else TOOTH_PX - 8)),
        text=str(code),
        size=16,
        anchor="middle",
        bold=True,
        colour=QUIET if is_absent else INK,
        halo=None,
    )
    if is_absent:
        edge = Line(places=box, colour=EDGE, width=1.0, closed=True, dashes=(4.0, 4.0))
        return [edge, name]
    shapes: list[Shape] = [
        Line(places=box, colour=TOOTH_EDGE, width=1.2, closed=True, fill=TOOTH),
        name,
    ]
    for surface in ("mesial", "distal"):
        towards_right = (surface == "mesial") is (code // 10 in (1, 4))
        x = left + width - SIGN_PX - 2 if towards_right else left + 2
        row = rows.get(f"{code}.{surface}")
        if row is not None:
            shapes += _sign(row, x, crown + (28 if upper else 4), TOOTH_PX - 32)
        crest = rows.get(f"{code}.{surface}{CREST}")
        if crest is not None:
            y = top if upper else crown + TOOTH_PX + 4
            shapes += _sign(crest, x, y, CREST_PX)
    return shapes


def _sign(row: LedgerRow, x: float, y: float, height: float) -> list[Shape]:
    """A place's sign on its ground; what the question does not need is pale, without a frame."""
    colour = COLOURS[row.reading] if row.is_needed else WHITE
    return [
        Line(
            places=upright_box(x, y, SIGN_PX, height),
            colour=INK if row.is_needed else EDGE,
            width=1.4 if row.is_needed else 0.8,
            closed=True,
            fill=colour,
        ),
        Words(
            place=(x + SIGN_PX / 2, y + height / 2 + 6),
            text=READING_SIGNS[row.reading],
            size=18,
            anchor="middle",
            bold=row.is_needed,
            colour=INK if row.is_needed else QUIET,
            halo=None,
        ),
    ]


def _sides(top: float, foot: float) -> list[Shape]:
    middle = WIDTH / 2
    return [
        Words(place=(MARGIN, top), text="patient's right", size=15, colour=QUIET),
        Words(
            place=(WIDTH - MARGIN, top), text="patient's left", size=15, colour=QUIET, anchor="end"
        ),
        Line(places=((middle, top - 8), (middle, foot - 20)), colour=EDGE, width=1.0),
    ]


def _legend(shapes: list[Shape], top: float) -> float:
    """What the signs mean, added to the shapes; returns the height it takes. [px]"""
    y = top + 4
    for reading in Reading:
        row = LedgerRow(name="", is_needed=True, cells=(), reading=reading, chance=0.0, best=None)
        shapes += _sign(row, MARGIN, y, 22)
        text = f"{READINGS[reading]}: {READING_MEANS[reading]}"
        shapes.append(Words(place=(MARGIN + SIGN_PX + 10, y + 16), text=text, size=15))
        y += 26
    for line in wrapped(CHART_NOTE, WIDTH - 2 * MARGIN, 15):
        y += 20
        shapes.append(Words(place=(MARGIN, y), text=line, size=15, colour=QUIET))
    return y - top


__all__ = ["visit_chart"]

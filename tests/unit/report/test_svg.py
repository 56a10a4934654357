"""Every shape is drawn where it was put: in SVG as what it is, in pixels as it looks."""

from xml.dom.minidom import parseString

import numpy as np
import pytest

from bitewright.report.shapes import (
    Dot,
    Drawing,
    Line,
    Panel,
    Picture,
    Shape,
    Words,
    text_width,
    upright_box,
)
from bitewright.report.svg import svg_of
from bitewright.report.typeset import picture_of

RED, BLUE = "#ff0000", "#0000ff"


def page(*shapes: Shape, panels: tuple[Panel, ...] = ()) -> Drawing:
    return Drawing(
        width=120, height=80, title="A < b", description="c & d", panels=panels, shapes=shapes
    )


def test_who_cannot_see_it_is_told_and_nothing_breaks_the_document() -> None:
    drawn = parseString(svg_of(page(Words(place=(5, 20), text='<"&>'))))  # noqa: S318 (our own)
    said = {
        name: drawn.getElementsByTagName(name)[0].firstChild.data
        for name in ("title", "desc", "text")
    }
    assert said == {"title": "A < b", "desc": "c & d", "text": '<"&>'}


def test_pixels_of_a_picture_are_kept_as_they_are() -> None:
    grey = np.random.default_rng(0).integers(0, 256, (40, 60)).astype(np.uint8)
    colours = np.random.default_rng(1).integers(0, 256, (20, 30, 3)).astype(np.uint8)
    drawn = picture_of(
        page(Picture(place=(7, 9), pixels=grey), Picture(place=(80, 50), pixels=colours))
    )
    assert drawn.shape == (80, 120, 3)
    assert (drawn[9:49, 7:67] == grey[..., None]).all()
    assert (drawn[50:70, 80:110] == colours).all()


def test_lines_and_dots_are_filled_where_they_lie() -> None:
    drawn = picture_of(
        page(
            Line(places=upright_box(10, 10, 30, 20), colour=None, closed=True, fill=RED),
            Dot(place=(80, 40), radius=12, fill=BLUE),
        )
    )
    assert (drawn == (255, 0, 0)).all(axis=2).sum() == 600
    assert (drawn == (0, 0, 255)).all(axis=2).sum() == pytest.approx(452, abs=40)  # pi 12 squared


def test_a_panel_cuts_off_what_reaches_beyond_it() -> None:
    wide = Line(places=((-50, 5), (200, 5)), colour=RED, width=4)
    drawn = picture_of(page(panels=(Panel(left=20, top=10, width=40, height=30, shapes=(wide,)),)))
    columns = np.flatnonzero((drawn == (255, 0, 0)).all(axis=2).any(axis=0))
    assert (columns.min(), columns.max()) == (20, 59)


@pytest.mark.parametrize("bold", [False, True])
def test_no_text_is_wider_than_the_room_kept_for_it(bold: bool) -> None:  # noqa: FBT001 - a case
    text = "slide the tube about 8 mm towards the front, 12.5%"
    words = Words(place=(10, 40), text=text, size=20, bold=bold)
    wide = Drawing(width=900, height=60, title="t", description="d", shapes=(words,))
    columns = np.flatnonzero((picture_of(wide) < 128).any(axis=(0, 2)))
    assert columns.max() - 10 < text_width(text, 20, bold=bold)

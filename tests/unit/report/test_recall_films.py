"""Two films side by side: no name of a site touches another, none leaves its film."""

import numpy as np
import pytest

from bitewright.marking.marks import Mark, MarkedFilm
from bitewright.marking.raw_image import RawImage
from bitewright.report.recall_films import (
    LABEL_LINE_PX,
    LABEL_PX,
    TITLE_PX,
    FilmAtScale,
    recall_films,
)
from bitewright.report.shapes import Words, text_width

COLUMNS, ROWS, PIXEL_MM = 400, 300, 0.1
SITES = {"17.mesial": "17 mesial", "16.distal": "16 distal", "16.mesial": "16 mesial"}


def film(crests_px: tuple[tuple[float, float], ...]) -> FilmAtScale:
    marks = {}
    for name, (x, y) in zip(SITES, crests_px, strict=True):
        marks[f"{name}.crest"] = Mark(x_px=x, y_px=y)
        marks[f"{name}.cej"] = Mark(x_px=x, y_px=y + 12.0)
    return FilmAtScale(
        image=RawImage(
            pixels=np.zeros((ROWS, COLUMNS), dtype=np.uint16),
            bits=16,
            pixel_mm=PIXEL_MM,
            source="png",
            attributes={},
            caveats=(),
        ),
        marks=MarkedFilm(
            image_name="a.png", columns=COLUMNS, rows=ROWS, view="right-molar", marks=marks
        ),
        title="a film",
        pixel_mm=PIXEL_MM,
        front_is_right=True,
    )


@pytest.mark.parametrize(
    "crests_px",
    [
        ((200.0, 60.0), (201.0, 60.0), (202.0, 60.0)),  # all at one place
        ((200.0, 6.0), (195.0, 4.0), (190.0, 8.0)),  # crossed, at the film's upper edge
        ((3.0, 282.0), (6.0, 284.0), (9.0, 286.0)),  # in a corner
    ],
)
def test_names_of_near_sites_neither_touch_nor_leave_their_film(
    crests_px: tuple[tuple[float, float], ...],
) -> None:
    one = film(crests_px)
    drawing = recall_films([one, one], SITES, ["Said."], description="it")
    names = [
        each for each in drawing.shapes if isinstance(each, Words) and each.text in SITES.values()
    ]
    assert len(names) == 2 * len(SITES)
    rooms = sorted(map(room, names))
    for row in (rooms[: len(SITES)], rooms[len(SITES) :]):
        for k, (left, right, line) in enumerate(row):
            assert TITLE_PX < line < TITLE_PX + one.size_px[1]
            for other_left, other_right, other_line in row[k + 1 :]:
                beside = right <= other_left or other_right <= left
                assert beside or abs(line - other_line) >= LABEL_LINE_PX


def room(name: Words) -> tuple[float, float, float]:
    x, y = name.place
    wide = text_width(name.text, LABEL_PX)
    return (x, x + wide, y) if name.anchor == "start" else (x - wide, x, y)

"""Draw where each kind of mark goes: cuts from a simulated film with the marks as they are told.

Run ``python -m builders.mark_pictures`` in the top folder of the project. It writes the picture
that docs/marks-format.md and the light box show.
"""

from dataclasses import replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.exposing.exposure import expose, station
from bitewright.files.images import write_picture
from bitewright.film.film_mouth import film_mouth
from bitewright.film.predicted_film import predicted_film
from bitewright.marking.simulated_marker import true_marks
from bitewright.mouth.drawn_mouth import drawn_mouth
from bitewright.mouth.outlines import build_outlines
from bitewright.planning.best_aim import best_aim
from bitewright.quality.predicted import asked, predict
from bitewright.quality.views import view
from bitewright.report.film_pixels import shown_pixels
from bitewright.report.palette import GROUND, LIGHT, MARKS
from bitewright.report.shapes import Drawing, Line, Picture, Shape, Words
from bitewright.report.typeset import picture_of
from bitewright.words.marking import MARK_TITLES, WHERE_MARKS_GO, WHERE_MARKS_GO_PICTURE

TOP = Path(__file__).resolve().parents[1]
TARGET = TOP / "src" / "bitewright" / "web" / "static" / "light_box" / "where_marks_go.png"
SEED, VIEW, RECEPTOR, PIXEL_MM = 12, "right-molar", "sensor-2", 0.02
SWING_DEG = 7.0
HALF_MM, SIDE_PX, GAP_PX, HEAD_PX = 2.6, 230, 10, 34
SHOWN = {
    "edge": ("16.distal", "17.mesial"),
    "junction": ("16.distal.cej",),
    "crest": ("16.mesial.crest",),
    "cusp": ("46.mesiobuccal.cusp",),
}
COLOURS = {"edge": "edge", "junction": "cej", "crest": "crest", "cusp": "cusp"}


def main() -> None:
    """Draw, write and say where."""
    of, known = view(VIEW), packaged_catalogue()
    at = station(
        build_outlines(drawn_mouth(SEED)),
        of.region,
        known.receptor(RECEPTOR),
        known.holder("ring-holder"),
        known.tube("rectangular-300"),
    )
    best = best_aim(of, at).setting
    aim = replace(best.aim(), ring_offset_deg=best.ring_offset_deg + SWING_DEG)
    exposure = expose(at, best.placement(), aim)
    film = predicted_film(
        exposure,
        film_mouth(at.outlines, at.region),
        pixel_mm=PIXEL_MM,
        generator=np.random.default_rng(SEED),
    )
    marks = true_marks(
        predict(exposure, asked(of, at)).landmarks,
        of,
        pixel_mm=PIXEL_MM,
        image_name="film.png",
        receptor=RECEPTOR,
    ).marks
    places = {
        name: (mark.x_px, mark.y_px)
        for name, mark in marks.items()
        if mark.x_px is not None and mark.y_px is not None
    }
    shapes: list[Shape] = []
    for number, (kind, names) in enumerate(SHOWN.items()):
        left = number * (SIDE_PX + GAP_PX)
        shapes += _cut(film.pixels, kind, [places[name] for name in names], left)
    drawing = Drawing(
        width=len(SHOWN) * (SIDE_PX + GAP_PX) - GAP_PX,
        height=SIDE_PX + HEAD_PX,
        title=WHERE_MARKS_GO,
        description=WHERE_MARKS_GO_PICTURE,
        shapes=tuple(shapes),
        ground=GROUND,
    )
    write_picture(TARGET, picture_of(drawing), description=f"Bitewright. {drawing.description}")
    print(f"wrote {TARGET}")


def _cut(
    pixels: NDArray[np.uint16], kind: str, places: list[tuple[float, float]], left: int
) -> list[Shape]:
    """One cut with its marks and its title."""
    half = round(HALF_MM / PIXEL_MM)
    x, y = np.mean(places, axis=0)
    first_x, first_y = round(x) - half, round(y) - half
    part = pixels[first_y : first_y + 2 * half, first_x : first_x + 2 * half]
    shown = shown_pixels(part, bits=16, size=(SIDE_PX, SIDE_PX))
    scale = SIDE_PX / (2 * half)
    made: list[Shape] = [Picture(place=(left, HEAD_PX), pixels=shown)]
    for px, py in places:
        u, v = left + (px - first_x) * scale, HEAD_PX + (py - first_y) * scale
        arms = ((-9.0, -2.0), (2.0, 9.0))
        ends = [((u + near, v), (u + far, v)) for near, far in arms]
        ends += [((u, v + near), (u, v + far)) for near, far in arms]
        made += [Line(places=pair, colour=MARKS[COLOURS[kind]], width=1.6) for pair in ends]
    title = Words(
        place=(left + 4.0, 23.0), text=MARK_TITLES[kind], colour=LIGHT, size=18, halo=None
    )
    return [*made, title]


if __name__ == "__main__":
    main()

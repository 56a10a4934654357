"""What a picture says of where borders lie, on films whose true places are known."""

from dataclasses import replace

import numpy as np
import pytest

from bitewright.marking.marks import Mark, MarkedFilm, MarkOrigin, MarkStatus, Mounting
from bitewright.marking.picture_borders import (
    PLACES_MM,
    PictureBorders,
    PlaceSeen,
    picture_borders,
    with_second_look,
)
from bitewright.quality.views import view
from tests.unit.marking.test_crown_edge import PIXEL_MM, VIEW, film, true_places

AT = np.abs(PLACES_MM) <= 0.2


def marked(places: dict[str, tuple[float, float]], pixels: np.ndarray) -> MarkedFilm:
    rows, columns = pixels.shape
    return MarkedFilm(
        image_name="film.png",
        columns=columns,
        rows=rows,
        view=VIEW,
        pixel_mm=PIXEL_MM,
        marks={name: Mark(x_px=float(x), y_px=float(y)) for name, (x, y) in places.items()},
    )


def told(pixels: np.ndarray, of: MarkedFilm) -> dict[str, PictureBorders]:
    return picture_borders(pixels, of, view(VIEW), pixel_mm=PIXEL_MM)


@pytest.mark.parametrize("swing_deg", [-7.0, 14.0])
def test_borders_are_likelier_where_they_truly_lie(swing_deg: float) -> None:
    pixels = film(swing_deg).pixels
    places = true_places(swing_deg, pixels)
    rows, columns = pixels.shape
    kept = {n: p for n, p in places.items() if 100 < p[0] < columns - 100 and 20 < p[1] < rows - 20}
    right = told(pixels, marked(kept, pixels))
    off = {name: place + np.array([1.0 / PIXEL_MM, 0.0]) for name, place in kept.items()}
    wrong = told(pixels, marked(off, pixels))
    at_right = np.array([right[name].outward[AT].max() for name in kept])
    at_wrong = np.array([wrong[name].outward[AT].max() for name in kept])
    assert len(kept) >= 6
    assert np.mean(at_right > 0.0) > 0.8
    assert np.median(at_right - at_wrong) > 1.0


@pytest.mark.parametrize("mirrored", [False, True])
def test_a_border_is_found_outward_of_its_mark_whichever_way_it_is_mounted(
    *, mirrored: bool
) -> None:
    """The crown ends 0.9 mm in front of the mark of its mesial edge."""
    ahead = 0.9 / PIXEL_MM * (-1.0 if mirrored else 1.0)
    pixels = np.full((400, 400), 8000, dtype=np.uint16)
    inside = np.arange(400) + 0.5 < 200.0 + ahead
    pixels[:, ~inside if mirrored else inside] += 20000
    of = marked({"15.mesial": (200.0, 200.0)}, pixels)
    if mirrored:
        of = replace(of, mounting=Mounting.MIRRORED)
    found = told(pixels, of)["15.mesial"]
    assert PLACES_MM[np.argmax(found.outward)] == pytest.approx(0.9, abs=0.15)
    assert found.outward[AT].max() < 0.0
    assert not found.rootward.any()


@pytest.mark.parametrize(
    ("name", "rootward"), [("15.mesial.crest", -1.0), ("45.mesial.crest", 1.0)]
)
def test_a_crest_is_found_where_the_picture_gets_brighter_towards_the_roots(
    name: str, rootward: float
) -> None:
    pixels = np.full((400, 400), 8000, dtype=np.uint16)
    below = rootward * (np.arange(400) + 0.5 - 200.0) * PIXEL_MM > 0.7
    pixels[below] += 20000
    found = told(pixels, marked({name: (200.0, 200.0)}, pixels))[name]
    assert PLACES_MM[np.argmax(found.rootward)] == pytest.approx(0.7, abs=0.2)
    assert not found.outward.any()


def test_nothing_is_told_of_cusps_marks_that_are_not_seen_and_even_grey() -> None:
    even = np.full((400, 400), 8000, dtype=np.uint16)
    of = marked({"15.mesial": (200.0, 200.0), "15.buccal.cusp": (200.0, 200.0)}, even)
    assert told(even, of) == {}
    hidden = replace(of, marks={"15.mesial": Mark(status=MarkStatus.HIDDEN)})
    assert told(even, hidden) == {}


def test_nothing_is_told_of_coarse_pictures_nor_past_the_films_end() -> None:
    pixels = np.full((400, 400), 8000, dtype=np.uint16)
    pixels[:, :210] += 20000
    of = marked({"15.mesial": (200.0, 200.0)}, pixels)
    assert "15.mesial" in told(pixels, of)
    assert picture_borders(pixels, of, view(VIEW), pixel_mm=0.15) == {}
    corner = marked({"15.mesial": (399.0, 0.5)}, pixels)
    assert told(pixels, corner).get("15.mesial") is None


@pytest.mark.parametrize("mirrored", [False, True])
def test_a_second_look_is_told_outward_and_towards_the_roots_of_each_mark(
    *, mirrored: bool
) -> None:
    """Half a millimetre to the right and a third up: a right side's front lies to the right."""
    pixels = np.full((400, 400), 8000, dtype=np.uint16)
    of = marked(dict.fromkeys(("15.mesial", "15.distal.cej", "46.mesial"), (200.0, 200.0)), pixels)
    if mirrored:
        of = replace(of, mounting=Mounting.MIRRORED)
    x_mm, y_mm = 200.0 * PIXEL_MM + 0.5, 200.0 * PIXEL_MM - 0.3
    places = dict.fromkeys(of.marks, PlaceSeen(x_mm=x_mm, y_mm=y_mm, sd_mm=0.2))
    found = with_second_look({}, places, of, view(VIEW), pixel_mm=PIXEL_MM)
    front = -0.5 if mirrored else 0.5
    assert found["15.mesial"].again == pytest.approx((front, 0.3, 0.2))
    assert found["15.distal.cej"].again == pytest.approx((-front, 0.3, 0.2))
    assert found["46.mesial"].again == pytest.approx((front, -0.3, 0.2))


def test_a_second_look_says_nothing_of_marks_that_it_proposed() -> None:
    pixels = np.full((400, 400), 8000, dtype=np.uint16)
    of = marked({"15.mesial": (200.0, 200.0)}, pixels)
    places = {"15.mesial": PlaceSeen(x_mm=1.0, y_mm=1.0, sd_mm=0.2)}
    for origin in MarkOrigin:
        mark = replace(of.marks["15.mesial"], origin=origin)
        proposed = replace(of, marks={"15.mesial": mark})
        assert not with_second_look({}, places, proposed, view(VIEW), pixel_mm=PIXEL_MM)

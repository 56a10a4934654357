"""Marked films: what is allowed, and where a mark lies on the receptor."""

import math
from typing import Any

import numpy as np
import pytest

from bitewright.marking.marks import (
    FilmRemark,
    Mark,
    MarkedFilm,
    MarkedFilmError,
    MarkOutsideImageError,
    MarkStatus,
    Mounting,
)
from bitewright.mouth.landmark_names import UnknownLandmarkError
from bitewright.mouth.numbering import UnknownToothError


def film(**fields: Any) -> MarkedFilm:
    usual: dict[str, Any] = {
        "image_name": "a.png",
        "columns": 100,
        "rows": 80,
        "view": "right-premolar",
    }
    return MarkedFilm(**(usual | fields))


def test_the_images_corner_and_centre_on_the_receptor() -> None:
    marks = {"15.mesial": Mark(x_px=0.0, y_px=0.0), "15.distal": Mark(x_px=50.0, y_px=40.0)}
    points = film(marks=marks).seen_points_receptor_mm(pixel_mm=0.1)
    np.testing.assert_allclose(points["15.mesial"], [-5.0, -4.0])
    np.testing.assert_allclose(points["15.distal"], [0.0, 0.0])


def test_a_mirrored_image_is_turned_round() -> None:
    marks = {"15.mesial": Mark(x_px=10.0, y_px=20.0)}
    upright = film(marks=marks).seen_points_receptor_mm(pixel_mm=0.1)["15.mesial"]
    mirrored = film(marks=marks, mounting=Mounting.MIRRORED)
    turned = mirrored.seen_points_receptor_mm(pixel_mm=0.1)["15.mesial"]
    np.testing.assert_allclose(turned, upright * [-1.0, 1.0])


def test_only_seen_marks_have_a_place() -> None:
    marks = {"15.mesial": Mark(status=MarkStatus.HIDDEN), "15.distal": Mark(x_px=1.0, y_px=1.0)}
    assert list(film(marks=marks).seen_points_receptor_mm(pixel_mm=0.1)) == ["15.distal"]


def test_a_marks_own_spread_goes_before_the_films() -> None:
    marks = {
        "15.mesial": Mark(x_px=1.0, y_px=1.0, sd_mm=0.3),
        "15.distal": Mark(x_px=1.0, y_px=1.0),
    }
    marked = film(marks=marks, mark_sd_mm=0.1)
    assert (marked.sd_of_mm("15.mesial"), marked.sd_of_mm("15.distal")) == (0.3, 0.1)


def test_the_films_edge_is_inside() -> None:
    assert film(marks={"15.mesial": Mark(x_px=100.0, y_px=80.0)}).marks


@pytest.mark.parametrize(("x_px", "y_px"), [(100.1, 1.0), (-0.1, 1.0), (1.0, 80.1), (1.0, -0.1)])
def test_a_mark_outside_the_image_is_refused(x_px: float, y_px: float) -> None:
    with pytest.raises(MarkOutsideImageError, match="100 by 80"):
        film(marks={"15.mesial": Mark(x_px=x_px, y_px=y_px)})


@pytest.mark.parametrize(
    "fields",
    [
        {"x_px": 1.0},
        {"x_px": math.nan, "y_px": 1.0},
        {"x_px": math.inf, "y_px": 1.0},
        {"x_px": 10**400, "y_px": 1.0},
        {"x_px": 1.0, "y_px": 1.0, "status": MarkStatus.HIDDEN},
        {"x_px": 1.0, "y_px": 1.0, "sd_mm": 0.0},
        {"x_px": 1.0, "y_px": 1.0, "sd_mm": math.nan},
    ],
)
def test_an_impossible_mark_is_refused(fields: dict[str, Any]) -> None:
    with pytest.raises(MarkedFilmError):
        Mark(**fields)


@pytest.mark.parametrize(
    "fields",
    [
        {"image_name": "folder/a.png"},
        {"image_name": "folder\\a.png"},
        {"image_name": " "},
        {"image_sha256": "ABC"},
        {"columns": 0},
        {"view": "Right premolar"},
        {"receptor": ""},
        {"pixel_mm": math.nan},
        {"pixel_mm": 0.5},
        {"mark_sd_mm": 6.0},
    ],
)
def test_an_impossible_film_is_refused(fields: dict[str, Any]) -> None:
    with pytest.raises(MarkedFilmError, match="must be"):
        film(**fields)


def test_landmark_names_are_checked() -> None:
    seen = Mark(x_px=1.0, y_px=1.0)
    with pytest.raises(UnknownToothError):
        film(marks={"19.mesial": seen})
    with pytest.raises(UnknownLandmarkError):
        film(marks={"15.front": seen})
    with pytest.raises(MarkedFilmError, match="observation"):
        FilmRemark(name="Bent plate")


def test_the_films_marks_do_not_change_with_the_givers() -> None:
    given = {"15.mesial": Mark(x_px=1.0, y_px=1.0)}
    marked = film(marks=given)
    given.clear()
    assert list(marked.marks) == ["15.mesial"]

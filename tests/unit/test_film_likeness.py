"""What is compared between films is measured rightly on films made up of known parts."""

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter

from builders.film_areas import darkest, metal, within
from builders.film_edges import edge_of
from builders.film_likeness import figures, table
from builders.marked_films import MarkedFilm, Places
from builders.tooth_tissues import gap_level, septum, tooth_frame, tooth_levels

Floats = NDArray[np.float64]
PIXEL_MM = 0.03
SHAPE = (1030, 1356)
DENTINE, ENAMEL, PULP, NECK, CHEEK, METAL = 120.0, 170.0, 90.0, 100.0, 45.0, 232.0
LEFT, RIGHT, CONTACT, CREST = 500, 800, 420, 270
"""Edges of a made-up upper tooth, its contacts' row and its crests'. [pixels]"""


def made_up(grey: Floats, places: Places | None = None) -> MarkedFilm:
    return MarkedFilm(grey=grey, pixel_mm=PIXEL_MM, places=places or {}, is_real=False)


def blurred_disc(sigma_mm: float, rim_share: float = 0.0) -> MarkedFilm:
    """Metal 8 mm across on dentine, blurred, and sharpened if asked."""
    y, x = np.ogrid[: SHAPE[0], : SHAPE[1]]
    disc = np.where(np.hypot(x - 678, y - 515) < 4.0 / PIXEL_MM, METAL, DENTINE)
    soft = gaussian_filter(disc, sigma_mm / PIXEL_MM)
    return made_up(soft + rim_share * (soft - gaussian_filter(soft, 0.2 / PIXEL_MM)))


@pytest.mark.parametrize("sigma_mm", [0.05, 0.08])
def test_an_edge_is_as_wide_as_its_blur(sigma_mm: float) -> None:
    """A Gaussian's edge rises from 10 to 90 % over 2.563 of its deviation, by its quantiles."""
    film = blurred_disc(sigma_mm)
    edge = edge_of(film, metal(film))
    assert edge.width_mm == pytest.approx(2.563 * sigma_mm, abs=0.015)
    assert abs(edge.overshoot) < 0.01


def test_a_sharpened_edge_overshoots_on_both_sides() -> None:
    """Just beside a step, a blur lies half a step off: less than half of the share is added."""
    film = blurred_disc(0.02, rim_share=0.5)
    edge = edge_of(film, metal(film))
    assert 0.1 < edge.overshoot < 0.25
    assert edge.undershoot == pytest.approx(edge.overshoot, abs=0.05)


def test_metal_is_told_from_enamel_that_fades() -> None:
    film = blurred_disc(0.05)
    assert np.count_nonzero(metal(film)) * PIXEL_MM**2 == pytest.approx(np.pi * 16.0, rel=0.08)
    y, x = np.ogrid[: SHAPE[0], : SHAPE[1]]
    fading = DENTINE + 95.0 * np.exp(-((np.hypot(x - 678, y - 515) / 120.0) ** 2))
    assert not metal(made_up(fading)).any()


def a_tooth() -> MarkedFilm:
    """An upper tooth with caps of enamel and a pulp, cheek beside it, bone striped dark between."""
    grey = np.full(SHAPE, CHEEK)
    grey[60:600, LEFT:RIGHT] = DENTINE
    grey[60 : CREST + 60, LEFT:RIGHT] = NECK
    for edge in (LEFT, RIGHT - 45):
        grey[CONTACT - 60 : 600, edge : edge + 45] = ENAMEL
    grey[60 : CREST + 40, 640:660] = PULP
    grey[60 : CREST - 10, RIGHT : RIGHT + 30] = NECK
    grey[60 : CREST - 10, RIGHT + 30 : RIGHT + 80] = 75.0
    grey[60 : CREST - 10, RIGHT + 80 :] = NECK
    places = {
        "16.distal": (LEFT, CONTACT),
        "16.mesial": (RIGHT, CONTACT),
        "15.distal": (RIGHT + 100, CONTACT),
        "16.distal.crest": (LEFT, CREST),
        "16.mesial.crest": (RIGHT, CREST),
        "15.distal.crest": (RIGHT + 100, CREST),
    }
    return made_up(grey, {name: (float(x), float(y)) for name, (x, y) in places.items()})


def test_a_tooths_tissues_are_found_where_they_are() -> None:
    film = a_tooth()
    frame = tooth_frame(film, 16)
    assert frame is not None
    levels = tooth_levels(film, within(film), frame)
    assert levels["enamel"] == pytest.approx(ENAMEL, abs=3)
    assert levels["dentine"] == DENTINE
    assert levels["neck"] == NECK
    assert levels["pulp"] == pytest.approx(PULP, abs=3)
    assert tooth_frame(film, 15) is None


def test_septa_lie_where_it_is_darkest_and_gaps_are_cheek() -> None:
    film = a_tooth()
    patch = septum(film, within(film), 15, 16)
    assert patch is not None
    assert patch.bottom <= CREST
    assert RIGHT + 25 <= patch.left < patch.right <= RIGHT + 85
    assert gap_level(film, within(film), 15, 16) == pytest.approx(CHEEK, abs=3)


def test_air_is_the_darkest_square_away_from_the_border() -> None:
    grey = np.full(SHAPE, 60.0)
    grey[:, :40] = 0.0
    grey[500:600, 1000:1100] = 11.0
    patch = darkest(made_up(grey))
    assert (patch.of(grey) == 11.0).all()


def test_a_table_tells_median_range_and_ratio() -> None:
    lines = table({"air": 10.0}, [{"air": 10.0}, {"air": 20.0}, {"air": 60.0}])
    assert lines[-1] == "| air | 10 | 20 | 10 to 60 | 2.00 |"


def test_what_a_film_does_not_show_is_no_number() -> None:
    found = figures(made_up(np.full(SHAPE, 60.0)))
    assert np.isnan(found["metal"])
    assert np.isnan(found["enamel of 6"])
    assert found["air"] == 60.0
    assert "| - |" in table({"metal": 231.0}, [found])[-1]

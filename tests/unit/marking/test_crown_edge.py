"""Borders of crowns found in films whose true places are known, and refused where none is sure."""

from functools import lru_cache
from pathlib import Path

import numpy as np
import pytest

from bitewright.exposing.aim import Aim
from bitewright.exposing.exposure import Exposures, expose
from bitewright.exposing.placement import Placement
from bitewright.files.images import read_image
from bitewright.files.marks_file import read_marks
from bitewright.film.predicted_film import predicted_film
from bitewright.film.radiograph import Radiograph
from bitewright.marking.crown_edge import SEARCH_MM, crown_edge, outward_of
from bitewright.quality.predicted import asked, predict
from bitewright.quality.views import view
from tests.scenes import film_mouth_of, station_of

VIEW = "right-premolar"
PIXEL_MM = 0.03
MOST_OFF_MM = 0.4


def exposure(swing_deg: float) -> Exposures:
    aim = Aim(ring_offset_deg=swing_deg, vertical_deg=5.0)
    return expose(station_of(VIEW, "sensor-2"), Placement(lingual_mm=4.0, turn_deg=8.0), aim)


@lru_cache(maxsize=4)
def film(swing_deg: float) -> Radiograph:
    generator = np.random.default_rng(round(swing_deg) + 20)
    made = exposure(swing_deg)
    return predicted_film(made, film_mouth_of(), pixel_mm=PIXEL_MM, generator=generator)


def true_places(swing_deg: float, pixels: np.ndarray) -> dict[str, np.ndarray]:
    """Every seen contact mark of the view's teeth, in pixels."""
    landmarks = predict(exposure(swing_deg), asked(view(VIEW), station_of(VIEW, "sensor-2")))
    of = landmarks.landmarks
    middle = 0.5 * np.array(pixels.shape[::-1])
    return {
        name: of.points_receptor[0, column] / PIXEL_MM + middle
        for column, name in enumerate(of.names)
        if of.status[0, column] == 0 and outward_of(name, view(VIEW), mirrored=False) is not None
    }


@pytest.mark.parametrize("swing_deg", [-7.0, 14.0])
def test_marks_put_down_beside_a_border_come_nearer_to_the_truth(swing_deg: float) -> None:
    pixels = film(swing_deg).pixels
    generator = np.random.default_rng(1)
    places = true_places(swing_deg, pixels)
    before, after = [], []
    for name, place in places.items():
        outward = outward_of(name, view(VIEW), mirrored=False)
        assert outward is not None
        for off in generator.uniform(-MOST_OFF_MM, MOST_OFF_MM, (4, 2)):
            x, y = place + off / PIXEL_MM
            found = crown_edge(pixels, (x, y), pixel_mm=PIXEL_MM, outward=outward)
            if found is not None:
                before.append(off[0])
                after.append(off[0] + found.shift_mm)
    assert len(after) > len(places)  # of four tries each
    assert np.sqrt(np.mean(np.square(after))) < 0.12
    assert np.sqrt(np.mean(np.square(after))) < 0.6 * np.sqrt(np.mean(np.square(before)))


def test_each_crown_of_an_overlap_finds_its_own_border() -> None:
    pixels = np.full((100, 200), 8000, dtype=np.uint16)
    pixels[:, :120] += 20000  # the crown behind, its outside to the right
    pixels[:, 104:] += 20000  # the crown ahead, its outside to the left: 16 pixels of overlap
    for outward, border in ((1.0, 120.0), (-1.0, 104.0)):
        found = crown_edge(pixels, (112.0, 50.0), pixel_mm=PIXEL_MM, outward=outward)
        assert found is not None
        assert 112.0 + found.shift_mm / PIXEL_MM == pytest.approx(border, abs=0.1)


def test_nothing_is_found_in_noise_nor_where_brightness_falls_slowly() -> None:
    generator = np.random.default_rng(5)
    noise = generator.normal(30000, 3000, (400, 400)).clip(0, 65535).astype(np.uint16)
    places = generator.uniform(60.0, 340.0, (200, 2))
    found = [crown_edge(noise, (x, y), pixel_mm=PIXEL_MM, outward=1.0) for x, y in places]
    assert found == [None] * len(places)
    ramp = np.tile(np.linspace(60000, 2000, 400), (400, 1)).astype(np.uint16)
    assert crown_edge(ramp, (200.0, 200.0), pixel_mm=PIXEL_MM, outward=1.0) is None


def test_two_borders_alike_are_refused() -> None:
    pixels = np.full((100, 200), 30000, dtype=np.uint16)
    pixels[:, 92:] -= 10000
    pixels[:, 108:] -= 10000
    assert crown_edge(pixels, (100.0, 50.0), pixel_mm=PIXEL_MM, outward=1.0) is None


def test_a_mark_too_near_the_films_edge_is_left_alone() -> None:
    pixels = np.zeros((100, 200), dtype=np.uint16)
    pixels[:, :10] = 30000
    assert crown_edge(pixels, (9.0, 50.0), pixel_mm=PIXEL_MM, outward=1.0) is None


def test_a_mark_is_served_as_near_to_the_films_edge_as_its_strip_allows() -> None:
    """Three tenths of a millimetre above and below the mark: ten pixels."""
    pixels = np.full((100, 200), 8000, dtype=np.uint16)
    pixels[:, :103] = 28000
    for y, is_found in ((10.0, True), (8.0, False), (90.0, True), (92.0, False)):
        found = crown_edge(pixels, (100.0, y), pixel_mm=PIXEL_MM, outward=1.0)
        assert (found is not None) == is_found
        assert found is None or found.shift_mm == pytest.approx(3 * PIXEL_MM, abs=0.003)


def test_only_contact_marks_have_a_way_outward() -> None:
    of = view(VIEW)
    assert outward_of("15.mesial", of, mirrored=False) == of.region.front_sign
    assert outward_of("15.distal", of, mirrored=False) == -of.region.front_sign
    assert outward_of("15.mesial", of, mirrored=True) == -of.region.front_sign
    for name in ("15.mesial.crest", "15.mesial.cej", "16.mesiobuccal.cusp"):
        assert outward_of(name, of, mirrored=False) is None


@pytest.mark.realdata
def test_a_persons_marks_on_a_real_film_hardly_move(shared_data: Path, repository: Path) -> None:
    raw = read_image(shared_data / "real" / "bitewing_single_mit" / "bitewing.png")
    marked = read_marks(repository / "tests" / "realdata" / "open-bitewing.marks.json")
    shifts = []
    for name, mark in marked.marks.items():
        outward = outward_of(name, view(marked.view), mirrored=False)
        if outward is None or mark.x_px is None or mark.y_px is None:
            continue
        at = mark.x_px, mark.y_px
        found = crown_edge(raw.pixels, at, pixel_mm=marked.pixel_mm or 0.03, outward=outward)
        if found is not None:
            shifts.append(found.shift_mm)
    assert len(shifts) >= 8
    assert max(np.abs(shifts)) < 0.1 < SEARCH_MM

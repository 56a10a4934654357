"""Marks are told where a film's own grey shows them, on films of mouths that nobody fitted to."""

from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.ndimage import map_coordinates

from bitewright.exposing.aim import Aim
from bitewright.exposing.exposure import expose
from bitewright.exposing.landmarks import Status
from bitewright.film.predicted_film import predicted_film
from bitewright.marking.crown_edge import crown_edge, outward_of
from bitewright.marking.marked_landmarks import landmarks_from_marks
from bitewright.marking.simulated_marker import true_marks
from bitewright.marking.visible_places import seen_off_mm
from bitewright.mouth.drawn_mouth import drawn_mouth
from bitewright.mouth.standard_mouth import standard_mouth
from bitewright.planning.best_aim import best_aim
from bitewright.quality.predicted import asked, predict
from bitewright.quality.views import view
from tests.scenes import film_mouth_in, station_in

Floats = NDArray[np.float64]
PIXEL_MM = 0.03
REACH_MM = 1.5
MIDDLE = round(REACH_MM / PIXEL_MM)
ALONG_MM = np.arange(-MIDDLE, MIDDLE + 1) * PIXEL_MM


@dataclass(frozen=True, eq=False)
class Film:
    """A film and where its marks are told to be, in pixels."""

    pixels: NDArray[np.uint16]
    told_px: dict[str, tuple[float, float]]

    def about(self, kind: str) -> Floats:
        """Grey about every mark of a kind: rows towards the root, columns outward, (N, M, M)."""
        found = []
        across, down = np.meshgrid(ALONG_MM / PIXEL_MM, ALONG_MM / PIXEL_MM)
        for name, (x, y) in self.told_px.items():
            if name.endswith(kind):
                out = 1.0 if ".mesial" in name else -1.0
                root = -1.0 if name[0] == "1" else 1.0
                places = [y - 0.5 + root * down, x - 0.5 + out * across]
                grey = map_coordinates(self.pixels.astype(np.float64), places, order=1, cval=np.nan)
                if np.isfinite(grey).all():
                    found.append(grey)
        return np.array(found)


@lru_cache(maxsize=8)
def film_of(seed: int | None, view_name: str, receptor: str, swing_deg: float) -> Film:
    """A right-side film at the best aim, or swung off it, and the marks told of it."""
    mouth = standard_mouth() if seed is None else drawn_mouth(seed)
    at = station_in(mouth, view_name, receptor)
    setting = best_aim(view(view_name), at).setting
    aim = replace(setting.aim(), ring_offset_deg=setting.ring_offset_deg + swing_deg)
    exposure = expose(at, setting.placement(), aim)
    film = predicted_film(
        exposure, film_mouth_in(at), pixel_mm=PIXEL_MM, generator=np.random.default_rng(5)
    )
    landmarks = predict(exposure, asked(view(view_name), at)).landmarks
    marks = true_marks(
        landmarks, view(view_name), pixel_mm=PIXEL_MM, image_name="film.png", receptor=receptor
    ).marks
    return Film(
        pixels=film.pixels,
        told_px={
            name: (mark.x_px, mark.y_px)
            for name, mark in marks.items()
            if mark.x_px is not None and mark.y_px is not None
        },
    )


Films = tuple[tuple[int | None, str, str, float], ...]
SETS = [
    ((None, "right-premolar", "sensor-2", 8.0), (None, "right-molar", "plate-2", -8.0)),
    pytest.param(
        (
            (21, "right-premolar", "plate-2", -8.0),
            (21, "right-molar", "film-2", 0.0),
            (22, "right-premolar", "sensor-2", 8.0),
            (22, "right-molar", "plate-2", 0.0),
        ),
        marks=pytest.mark.slow,
    ),
]


@pytest.mark.slow
@pytest.mark.parametrize("films", SETS)
def test_a_crowns_edge_is_told_where_its_grey_falls_most_steeply(films: Films) -> None:
    off = []
    for which in films:
        film = film_of(*which)
        for name, place in film.told_px.items():
            outward = outward_of(name, view(which[1]), mirrored=False)
            if outward is not None:
                found = crown_edge(film.pixels, place, pixel_mm=PIXEL_MM, outward=outward)
                off += [] if found is None else [outward * found.shift_mm]
    assert len(off) >= 3 * len(films)
    assert abs(np.median(off)) < 2 * PIXEL_MM
    assert np.abs(off).max() < 0.2


@pytest.mark.parametrize("films", SETS)
def test_the_crest_is_told_at_the_bones_corner(films: Films) -> None:
    """Down the bone's edge and out from the root, grey comes half-way to the bone's at the mark."""
    about = np.concatenate([film_of(*which).about(".crest") for which in films])
    down = [each[:, near(0.0, 0.25)].mean(axis=1) for each in about]
    along = [each[near(0.3, 0.6)].mean(axis=0) for each in about]
    assert abs(np.median([half_way(each, (-1.2, -0.3), (0.3, 1.0)) for each in down])) < 0.25
    assert abs(np.median([half_way(each, (-0.6, 0.0), (0.0, 0.5)) for each in along])) < 0.15


@pytest.mark.parametrize("films", SETS)
def test_a_cusp_is_told_at_the_top_of_its_outline(films: Films) -> None:
    about = np.concatenate([film_of(*which).about(".cusp") for which in films])
    down = [each[:, near(-0.1, 0.1)].mean(axis=1) for each in about]
    assert abs(np.median([half_way(each, (-0.9, -0.3), (0.2, 0.8)) for each in down])) < 0.15


def near(low_mm: float, high_mm: float) -> NDArray[np.bool_]:
    return np.asarray((low_mm <= ALONG_MM) & (high_mm >= ALONG_MM))


def half_way(grey: Floats, dark: tuple[float, float], bright: tuple[float, float]) -> float:
    """Where a profile first comes half-way from its darkest to its brightest place. [mm]"""
    darkest = int(np.argmin(np.where(near(*dark), grey, np.inf)))
    half = 0.5 * (grey[darkest] + grey[near(*bright)].max())
    return float(ALONG_MM[darkest + int(np.argmax(grey[darkest:] >= half))])


@pytest.mark.parametrize("view_name", ["right-premolar", "left-molar"])
def test_marks_that_are_told_are_read_as_the_model_has_them(view_name: str) -> None:
    at = station_in(standard_mouth(), view_name, "plate-2")
    exposure = expose(at, best_aim(view(view_name), at).setting.placement(), Aim(vertical_deg=4.0))
    landmarks = predict(exposure, asked(view(view_name), at)).landmarks
    marks = true_marks(
        landmarks, view(view_name), pixel_mm=PIXEL_MM, image_name="film.png", receptor="plate-2"
    )
    read = landmarks_from_marks(marks, view(view_name), pixel_mm=PIXEL_MM)
    for name in read.names:
        if read.status_of(name)[0] == Status.SEEN:
            assert read.points(name)[0] == pytest.approx(landmarks.points(name)[0], abs=0.001)


def test_edges_are_seen_inside_their_crowns_and_crests_beyond_their_roots() -> None:
    names = ("15.mesial", "15.distal", "45.distal.crest", "15.mesial.cej", "16.mesiobuccal.cusp")
    right = seen_off_mm(names, 1.0)
    left = seen_off_mm(names, -1.0)
    assert right[0, 0] < 0.0 < right[1, 0]
    assert right[2, 0] < 0.0 < right[2, 1]
    assert (right[3] == 0.0).all()
    assert right[4, 1] < 0.0
    assert left == pytest.approx(right * [-1.0, 1.0])

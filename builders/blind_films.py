"""Films for the blind look: drawn mouths, worn and filled about as the real film's is."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.exposing.exposure import station
from bitewright.exposing.landmarks import Status
from bitewright.film.film_faults import FaultName, FilmFault, with_surface_faults
from bitewright.film.predicted_film import predicted_film
from bitewright.mouth.drawn_mouth import drawn_mouth
from bitewright.mouth.mouth import Mouth
from bitewright.mouth.outlines import build_outlines
from bitewright.mouth.tooth_parts import CARIES_DEPTHS, ToothPart
from bitewright.planning.best_aim import best_aim
from bitewright.quality.predicted import asked, predict
from bitewright.quality.views import view
from bitewright.tasks.film.film_mouths import station_film_mouth
from builders.marked_films import MarkedFilm

VIEWS = ("right-premolar", "left-premolar", "right-molar", "left-molar")
PIXEL_MM = 0.03
FILLED_SHARE, SECOND_SHARE, AMALGAM_SHARE, CARIOUS_SHARE = 0.7, 0.3, 0.45, 0.15
"""Of premolars and molars. The real film has six of eight filled, three of them with amalgam."""

WEAR = (FaultName.SCRATCH, FaultName.DUST)
STRENGTHS = (0.55, 0.25, 0.15)
SURFACES = ("occlusal", "mesial-occlusal", "distal-occlusal", "distal-occlusal", "all")


def worn_mouth(seed: int) -> Mouth:
    """A drawn mouth of 32 teeth with fillings and lesions; each tooth has a stream of its own."""
    mouth = drawn_mouth(seed, third_molars=True)
    teeth = {
        code: replace(tooth, parts=_parts(np.random.default_rng([seed, code, 1])))
        if code % 10 in (4, 5, 6, 7)
        else tooth
        for code, tooth in mouth.teeth.items()
    }
    return replace(mouth, name=f"worn mouth {seed}", teeth=teeth)


def _parts(own: np.random.Generator) -> tuple[ToothPart, ...]:
    parts: list[ToothPart] = []
    free = ["mesial", "distal"]
    if own.random() < FILLED_SHARE:
        surface = str(own.choice(SURFACES))
        parts.append(_filling(own, surface))
        free = [side for side in free if side not in surface and surface != "all"]
        if free and own.random() < SECOND_SHARE:
            parts.append(_filling(own, free.pop()))
    if free and own.random() < CARIOUS_SHARE:
        depth = str(own.choice(CARIES_DEPTHS[:4]))
        parts.append(ToothPart(kind="caries", surface=str(own.choice(free)), depth=depth))
    return tuple(parts)


def _filling(own: np.random.Generator, surface: str) -> ToothPart:
    material = "amalgam" if own.random() < AMALGAM_SHARE else "composite"
    size = float(own.uniform(0.6, 1.2))
    return ToothPart(kind="filling", surface=surface, material=material, size=size)


def rendered_films(seeds: Sequence[int]) -> list[MarkedFilm]:
    """Plates of worn mouths, each in another view, scratched and dusty as the real film is."""
    return [_rendered(seed, VIEWS[k % len(VIEWS)]) for k, seed in enumerate(seeds)]


def _rendered(seed: int, view_name: str) -> MarkedFilm:
    known = packaged_catalogue()
    at = station(
        build_outlines(worn_mouth(seed)),
        view(view_name).region,
        known.receptor("plate-2"),
        known.holder("ring-holder"),
        known.tube("rectangular-300"),
    )
    exposure = best_aim(view(view_name), at).exposure
    generator = np.random.default_rng(seed)
    film = predicted_film(exposure, station_film_mouth(at), pixel_mm=PIXEL_MM, generator=generator)
    landmarks = predict(exposure, asked(view(view_name), at, every_contact=True)).landmarks
    rows, columns = film.pixels.shape
    seen = zip(landmarks.names, landmarks.points_receptor[0], landmarks.status[0], strict=True)
    places = {
        name: (u / film.pixel_mm + 0.5 * columns, v / film.pixel_mm + 0.5 * rows)
        for name, (u, v), status in seen
        if status == Status.SEEN
    }
    grey = scratched(film.pixels / np.float32(257.0), film.pixel_mm, generator)
    return MarkedFilm(
        grey=grey.astype(np.float64), pixel_mm=film.pixel_mm, places=places, is_real=False
    )


def scratched(
    grey: NDArray[np.float32], pixel_mm: float, generator: np.random.Generator
) -> NDArray[np.float32]:
    """A plate's wear, elsewhere on each film: edges, a few scratches and specks, more faint."""
    edges = FilmFault(name=FaultName.WORN_EDGES, size=generator.uniform(0.3, 1.5))
    grey = with_surface_faults(grey, pixel_mm, (edges,), generator)
    for strength in STRENGTHS:
        faults = tuple(FilmFault(name=name, size=generator.uniform(0.3, 0.8)) for name in WEAR)
        marked = with_surface_faults(grey, pixel_mm, faults, generator)
        grey = grey + np.float32(strength) * (marked - grey)
    return grey

"""The film of a predicted exposure, written with its pixel size and the word SIMULATED."""

from pathlib import Path

import numpy as np

from bitewright import __version__
from bitewright.files.images import write_image
from bitewright.imaging.exposure import Exposures
from bitewright.imaging.film_mouth import film_mouth
from bitewright.imaging.predicted_film import predicted_film
from bitewright.tasks.resources import all_cores


def write_film(
    path: Path, exposure: Exposures, *, view_name: str, pixel_mm: float | None, seed: int
) -> Path:
    """Render one exposure and write its film (.png or .tiff, 16 bits); returns the path."""
    at = exposure.station
    mouth = film_mouth(at.outlines, at.region)
    with all_cores() as threads:
        film = predicted_film(
            exposure,
            mouth,
            pixel_mm=pixel_mm,
            generator=np.random.default_rng(seed),
            threads=threads,
            provenance={"view": view_name, "seed": seed, "version": __version__},
        )
    said = ", ".join(f"{name} {value}" for name, value in film.provenance.items())
    write_image(
        path,
        film.pixels,
        pixel_mm=film.pixel_mm,
        description=f"SIMULATED by Bitewright: {said}",
    )
    return path


__all__ = ["write_film"]

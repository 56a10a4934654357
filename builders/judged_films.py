"""Films of mouths never learnt from, finer than those for training, each with its truth."""

from pathlib import Path
from typing import Any

import numpy as np

from bitewright.proposing.channels import CUSP
from builders.training_films import HELD_OUT_EVERY, Wish, films_of
from trials.proposed_films import JudgedFilm, judged, sort_of

FIRST_SEED = 1000
"""Training takes mouths from 1 on; those judged are of the same makers."""

OF_A_MOUTH = 6
"""Two views, three receptors each, one of them never learnt from."""

PIXEL_MM = 0.05
"""Fine enough to look for a crown's own border; as plates and films are read out."""

KIND_NAMES = ("calm mouths", "population mouths", "drawn mouths")
"""By seed less one, as `builders/training_mouths.py` takes turns."""


def judged_mouth(number: int) -> dict[str, Any]:
    """Everything about the films of one mouth never learnt from."""
    return {"mouth": number, "films": [judged(film) for film in judged_films(number)]}


def judged_films(number: int) -> list[JudgedFilm]:
    """The films of one mouth never learnt from."""
    seed = FIRST_SEED + HELD_OUT_EVERY * number
    wish = Wish(seed=seed, films=OF_A_MOUTH, out=Path(), pixel_mm=PIXEL_MM)
    return [_film(n, seed, made) for n, made in enumerate(films_of(wish))]


def _film(number: int, seed: int, made: dict[str, Any]) -> JudgedFilm:
    names = [str(name) for name in made["names"]]
    places = zip(names, made["u_px"], made["seen"], strict=True)
    return JudgedFilm(
        number=number,
        seed=seed,
        kind=KIND_NAMES[(seed - 1) % len(KIND_NAMES)],
        pixels=made["grey"].astype(np.uint16),
        pixel_mm=PIXEL_MM,
        places_mm={
            name: PIXEL_MM * place.astype(np.float64)
            for name, place, is_seen in places
            if is_seen and sort_of(name) not in {None, CUSP}
        },
        view=str(made["view"]),
        is_other=bool(made["other"]),
        lacks=tuple(int(code) for code in made["absent"]),
    )


__all__ = ["FIRST_SEED", "OF_A_MOUTH", "judged_films", "judged_mouth"]

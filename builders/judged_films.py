"""Films of mouths never learnt from, finer than those for training, each with its truth."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from bitewright.proposing.channels import CUSP
from builders.real_crowns import (
    ATLAS,
    PERSON,
    POPULATION,
    atlas_crowned,
    person_crowned,
    population_crowned,
    shared_folder,
)
from builders.training_films import Wish, films_of
from builders.training_mouths import HELD_OUT_EVERY
from trials.crowned_mouths import CrownedMouth
from trials.proposed_films import JudgedFilm, judged, sort_of

FIRST_SEED = 1000
"""Training takes mouths from 1 on; those judged are of the same makers."""

OF_A_MOUTH = 6
"""Two views, three receptors each, one of them never learnt from."""

PIXEL_MM = 0.05
"""Fine enough to look for a crown's own border; as plates and films are read out."""

KIND_NAMES = ("calm mouths", "population mouths", "drawn mouths")
"""By seed less one, as `builders/training_mouths.py` takes turns."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RealCrowns:
    """Mouths judged whose crowns are real ones.

    Parameters
    ----------
    kind : str
    numbers : sequence of int
        Negative, so that no mouth drawn has them.
    folder : str
        Of the shared data that they need.
    mouth : function of a seed
    """

    kind: str
    numbers: Sequence[int]
    folder: str
    mouth: Callable[[int], CrownedMouth]


REAL = (
    RealCrowns(
        kind="real crowns of a population",
        numbers=range(-10, -26, -1),
        folder=POPULATION,
        mouth=population_crowned,
    ),
    RealCrowns(kind="the atlas' teeth", numbers=(-40, -42), folder=ATLAS, mouth=atlas_crowned),
    RealCrowns(
        kind="the scanned person's crowns",
        numbers=(-50, -51),
        folder=PERSON,
        mouth=person_crowned,
    ),
)
"""Of the atlas and the person one number is of the right side and one of the left."""


def numbers_here(mouths: int) -> tuple[int, ...]:
    """The numbers to judge: so many mouths drawn, and those of real crowns that are there."""
    real = [each for each in REAL if (shared_folder() / each.folder).is_dir()]
    return (*(number for each in real for number in each.numbers), *range(mouths))


def judged_mouth(number: int) -> dict[str, Any]:
    """Everything about the films of one mouth never learnt from."""
    return {"mouth": number, "films": [judged(film) for film in judged_films(number)]}


def judged_films(number: int) -> list[JudgedFilm]:
    """The films of one mouth never learnt from."""
    seed = FIRST_SEED + HELD_OUT_EVERY * number
    wish = Wish(seed=seed, films=OF_A_MOUTH, out=Path(), pixel_mm=PIXEL_MM)
    kind, filmed = KIND_NAMES[(seed - 1) % len(KIND_NAMES)], None
    for real in REAL:
        if number in real.numbers:
            kind, filmed = real.kind, real.mouth(seed)
    return [_film(n, seed, kind, made) for n, made in enumerate(films_of(wish, filmed))]


def _film(number: int, seed: int, kind: str, made: dict[str, Any]) -> JudgedFilm:
    names = [str(name) for name in made["names"]]
    places = zip(names, made["u_px"], made["seen"], strict=True)
    return JudgedFilm(
        number=number,
        seed=seed,
        kind=kind,
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
        unsure=frozenset(
            name for name, is_sure in zip(names, made["sure"], strict=True) if not is_sure
        ),
    )


__all__ = [
    "FIRST_SEED",
    "OF_A_MOUTH",
    "REAL",
    "RealCrowns",
    "judged_films",
    "judged_mouth",
    "numbers_here",
]

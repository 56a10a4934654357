"""Films of mouths never learnt from, finer than those for training, each with its truth."""

import os
from pathlib import Path
from typing import Any

import numpy as np

from bitewright.proposing.channels import CUSP
from builders.training_films import Wish, films_of
from builders.training_mouths import HELD_OUT_EVERY
from trials.compare_anatomy import read_teeth
from trials.mouth_like import mouth_like
from trials.proposed_films import JudgedFilm, judged, sort_of
from trials.scanned_teeth import scanned_teeth

TOP = Path(__file__).resolve().parents[1]

FIRST_SEED = 1000
"""Training takes mouths from 1 on; those judged are of the same makers."""

OF_A_MOUTH = 6
"""Two views, three receptors each, one of them never learnt from."""

PIXEL_MM = 0.05
"""Fine enough to look for a crown's own border; as plates and films are read out."""

KIND_NAMES = ("calm mouths", "population mouths", "drawn mouths")
"""By seed less one, as `builders/training_mouths.py` takes turns."""


LIKE = {
    -1: ("crowns as wide as the atlas'", "real/atlas_teeth_ccbysa/teeth_mm"),
    -2: ("crowns as wide as the scanned person's", "real/scan_crowns_mit/subject_0"),
}
"""Mouths with the crown sizes, turns and arches of teeth that others measured, by number. Their
forms are still ours: meshes tell nothing of enamel, pulp and bone, so no film is made of them."""


def shared_folder() -> Path:
    """Where the real data lies that is used in place."""
    return Path(os.environ.get("BITEWRIGHT_SHARED", TOP.parent / "shared"))


def numbers_here(mouths: int) -> tuple[int, ...]:
    """The numbers to judge: so many mouths, and those like measured teeth that are there."""
    like = [number for number, (_, at) in LIKE.items() if (shared_folder() / at).is_dir()]
    return (*like, *range(mouths))


def judged_mouth(number: int) -> dict[str, Any]:
    """Everything about the films of one mouth never learnt from."""
    return {"mouth": number, "films": [judged(film) for film in judged_films(number)]}


def judged_films(number: int) -> list[JudgedFilm]:
    """The films of one mouth never learnt from."""
    seed = FIRST_SEED + HELD_OUT_EVERY * number
    wish = Wish(seed=seed, films=OF_A_MOUTH, out=Path(), pixel_mm=PIXEL_MM)
    kind, mouth = KIND_NAMES[(seed - 1) % len(KIND_NAMES)], None
    if number in LIKE:
        kind, at = LIKE[number]
        teeth = scanned_teeth(read_teeth(shared_folder() / at))
        mouth = mouth_like(teeth, name=kind, turned=True)
    return [_film(n, seed, kind, made) for n, made in enumerate(films_of(wish, mouth))]


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
    )


__all__ = [
    "FIRST_SEED",
    "LIKE",
    "OF_A_MOUTH",
    "judged_films",
    "judged_mouth",
    "numbers_here",
    "shared_folder",
]

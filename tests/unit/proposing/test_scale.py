"""A pixel size that makes the picture or its crowns too large or too small is doubted."""

import numpy as np
import pytest

from bitewright.mouth.standard_mouth import standard_mouth
from bitewright.proposing.proposals import ProposedMark
from bitewright.proposing.scale import is_scale_doubtful
from bitewright.proposing.square import on_square

CODES = (14, 15, 16, 17)


def is_doubtful(*, times: float, pixel_mm: float = 0.1, columns: int = 410) -> bool:
    """Of a row of crowns so many times as wide as usual by the pixel size that is stated."""
    pixels = np.random.default_rng(1).integers(0, 256, (310, columns)).astype(np.uint16)
    film = on_square(pixels, bits=8, pixel_mm=pixel_mm)
    per_mm = film.columns_px / film.size_mm[1]
    teeth, made, at = standard_mouth().teeth, [], 20.0
    for code in CODES:
        for surface in ("mesial", "distal"):
            made.append(
                ProposedMark(
                    name=f"{code}.{surface}", place_px=(at, 200.0), presence=0.99, sd_mm=0.2
                )
            )
            at += times * teeth[code].md_crown_mm * per_mm * (surface == "mesial")
    return is_scale_doubtful(film, made)


@pytest.mark.parametrize("times", [0.95, 1.08, 1.25])
def test_crowns_of_usual_width_are_not_doubted(times: float) -> None:
    assert not is_doubtful(times=times)
    assert not is_doubtful(times=times, pixel_mm=0.12, columns=450), "shrunk to be seen whole"


@pytest.mark.parametrize("times", [0.7, 0.85, 1.4])
def test_crowns_far_from_their_usual_width_are(times: float) -> None:
    assert is_doubtful(times=times)
    assert is_doubtful(times=times, pixel_mm=0.12, columns=450)


def test_a_picture_larger_than_any_receptor_is() -> None:
    assert is_doubtful(times=1.0, pixel_mm=0.16)

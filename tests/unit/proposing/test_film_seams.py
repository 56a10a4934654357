"""Several films in one picture are told by a straight line that parts them, one film is not."""

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from scipy.ndimage import gaussian_filter

import bitewright
from bitewright.proposing.film_seams import is_parted
from bitewright.proposing.several_films import is_not_one_film
from bitewright.proposing.square import PIXEL_MM, on_square

Picture = np.ndarray
SAMPLE = Path(bitewright.__file__).parent / "web/static/light_box/sample.png"
ROWS, COLUMNS = 300, 400


def film(seed: int, rows: int = ROWS, columns: int = COLUMNS) -> Picture:
    """Something as smooth as a film, with detail of a millimetre and of a tooth's size."""
    own = np.random.default_rng(seed)
    made = np.zeros((rows, columns))
    for size_px, weight in ((5, 1.0), (20, 3.0)):
        field = gaussian_filter(own.normal(size=(rows, columns)), size_px)
        made += weight * field / field.std()
    made += own.normal(scale=0.05, size=made.shape)
    low, high = np.quantile(made, (0.02, 0.98))
    return np.asarray(np.clip((made - low) / (high - low), 0.0, 1.0))


def parted(picture: Picture) -> bool:
    """Whether a line either way parts it; the same of its transpose and its negative."""
    found = is_parted(picture) or is_parted(picture.T)
    assert found is (is_parted(1.0 - picture) or is_parted(1.0 - picture.T))
    return found


@pytest.mark.parametrize("seed", range(2))
@pytest.mark.parametrize("gap", [0, 1, 4, 20])
@pytest.mark.parametrize("grey", [0.0, 0.6])
def test_two_films_are_told_with_a_gap_and_without(seed: int, gap: int, grey: float) -> None:
    """Upright films side by side, as broad as they are, and the same one above the other."""
    between = np.full((COLUMNS, gap), grey)
    beside = np.hstack([film(seed, COLUMNS, ROWS), between, film(100 + seed, COLUMNS, ROWS)])
    assert parted(beside)
    assert parted(beside.T)


def lined(one: Picture) -> Picture:
    for at in (120, 190, 260):
        one[:, at : at + 2] = 1.0
    return one


def crowned(one: Picture) -> Picture:
    one[40:140, 180:260] = 0.95
    return one


def in_two_parts(one: Picture) -> Picture:
    one[:, 200:] = 0.8 * one[:, 200:] + 0.05
    return one


def missed(one: Picture) -> Picture:
    one[:, 230:] = 1.0
    return one


CHANGES: list[Callable[[Picture], Picture]] = [
    lambda one: one,
    lambda one: np.pad(one, 60, constant_values=0.2),
    lined,
    crowned,
    in_two_parts,
    missed,
    lambda one: gaussian_filter(one, 3.0),
    lambda one: np.round(6.0 * one) / 6.0,
    lambda one: one**2.2,
]


@pytest.mark.parametrize("change", CHANGES)
@pytest.mark.parametrize("seed", range(2))
def test_one_film_is_not_parted_whatever_was_laid_over_it(
    seed: int, change: Callable[[Picture], Picture]
) -> None:
    """A frame, lines, a straight crown, a read-out in two parts, what the beam missed, tones."""
    assert not parted(change(film(seed)))
    assert not parted(change(film(seed, COLUMNS, ROWS)))


def test_the_sample_is_one_film_and_twice_the_sample_is_not() -> None:
    """One of our own films, not a made-up texture; beside it the same, turned round."""
    sample = (np.asarray(Image.open(SAMPLE)) >> 8).astype(np.uint16)
    rows, columns = sample.shape
    pixel_mm = PIXEL_MM * 410 / max(rows, columns)
    for picture, is_refused in (
        (sample, False),
        (np.pad(sample, 80), False),
        (np.vstack([sample, sample[::-1, ::-1]]), True),
        (np.vstack([sample, np.full((columns // 40, columns), 30), sample]), True),
    ):
        square = on_square(picture.astype(np.uint16), bits=8, pixel_mm=pixel_mm)
        assert is_not_one_film(square) is is_refused


def test_a_picture_too_small_for_a_line_is_not_parted() -> None:
    assert not is_parted(film(1, 8, 20))

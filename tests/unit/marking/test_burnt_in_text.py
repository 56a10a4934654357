"""Text drawn into a picture is found where programs draw it, and none is seen in plain shapes."""

from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

from bitewright.files.images import read_image
from bitewright.marking.burnt_in_text import text_lines

SHAPE = 400, 520


def wedge() -> NDArray[np.uint16]:
    """A grey wedge with a receptor's noise, of 12 bits."""
    across = np.linspace(500, 3400, SHAPE[1])
    noise = np.random.default_rng(4).normal(0.0, 40.0, SHAPE)
    return np.clip(across + noise, 0, 4095).astype(np.uint16)


def with_text(
    pixels: NDArray[np.uint16], text: str, *, at: tuple[int, int], size: int, level: int
) -> NDArray[np.uint16]:
    mask = Image.new("L", pixels.shape[::-1])
    ImageDraw.Draw(mask).text(at, text, fill=255, font=ImageFont.load_default(size))
    share = np.asarray(mask, dtype=np.float64) / 255.0
    return np.rint(pixels * (1 - share) + level * share).astype(np.uint16)


@pytest.mark.parametrize("level", [0, 4095])
@pytest.mark.parametrize("size", [16, 24])
@pytest.mark.parametrize("text", ["DOE JANE 1970", "ID 20417733"])
def test_a_line_of_letters_is_found_where_it_stands(text: str, size: int, level: int) -> None:
    found = text_lines(with_text(wedge(), text, at=(200, 300), size=size, level=level))
    assert len(found) == 1
    assert found[0].letters >= 4
    assert 190 <= found[0].left_px <= 260
    assert 290 <= found[0].top_px <= 330


def test_two_lines_are_two() -> None:
    film = with_text(wedge(), "DOE JANE", at=(10, 8), size=22, level=4095)
    both = text_lines(with_text(film, "12.03.1970", at=(200, 340), size=22, level=4095))
    assert {line.top_px < 100 for line in both} == {True, False}


def test_no_text_is_seen_in_noise_metal_or_nothing() -> None:
    film = wedge()
    assert text_lines(film) == ()
    film[100:160, 80:130] = 4095
    film[200:240, 300:420] = 0
    assert text_lines(film) == ()
    assert text_lines(np.full(SHAPE, 700, dtype=np.uint16)) == ()


@pytest.mark.realdata
def test_no_text_is_seen_on_the_open_film_that_has_none(shared_data: Path) -> None:
    film = read_image(shared_data / "real" / "bitewing_single_mit" / "bitewing.png")
    assert text_lines(film.pixels) == ()

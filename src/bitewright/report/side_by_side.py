"""Films next to each other at one height, each with its title."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

from bitewright.marking.raw_image import RawImage

HEIGHT_PX = 620
TITLE_PX = 44
GAP_PX = 16
GROUND = (18, 19, 22)
INK = (232, 230, 224)


def side_by_side(films: Sequence[RawImage], titles: Sequence[str]) -> NDArray[np.uint8]:
    """Films in a row, (rows, columns, 3)."""
    pictures = [_picture(film) for film in films]
    width = sum(p.width for p in pictures) + GAP_PX * (len(pictures) - 1)
    canvas = Image.new("RGB", (width, HEIGHT_PX + TITLE_PX), GROUND)
    draw = ImageDraw.Draw(canvas)
    x = 0
    for picture, title in zip(pictures, titles, strict=True):
        canvas.paste(picture, (x, TITLE_PX))
        draw.text((x + 8, 10), title, font=ImageFont.load_default(20), fill=INK)
        x += picture.width + GAP_PX
    return np.asarray(canvas)


def _picture(film: RawImage) -> Image.Image:
    grey = (film.pixels.astype(np.float64) * (255.0 / (2**film.bits - 1))).astype(np.uint8)
    width = round(film.columns * HEIGHT_PX / film.rows)
    return Image.fromarray(grey).resize((width, HEIGHT_PX), Image.Resampling.LANCZOS).convert("RGB")


__all__ = ["side_by_side"]

"""A film's picture as PNG, drawn afresh: eight bits, and nothing else of its file."""

from io import BytesIO

import numpy as np
from PIL import Image

from bitewright.marking.raw_image import RawImage
from bitewright.report.film_pixels import shown_pixels


def film_png(image: RawImage, *, most_px: int) -> bytes:
    """A film as PNG, at most so wide. [px]"""
    wide = min(image.columns, most_px)
    high = round(wide * image.rows / image.columns)
    out = BytesIO()
    Image.fromarray(shown_pixels(image.pixels, bits=image.bits, size=(wide, high))).save(out, "PNG")
    return out.getvalue()


def film_png_again(png: bytes, *, most_px: int) -> bytes:
    """A picture kept as PNG, drawn afresh, at most so wide. [px]"""
    with Image.open(BytesIO(png), formats=("PNG",)) as kept:
        grey = kept.convert("L")
    if grey.width > most_px:
        high = max(1, round(most_px * grey.height / grey.width))
        grey = grey.resize((most_px, high), Image.Resampling.LANCZOS)
    out = BytesIO()
    Image.fromarray(np.asarray(grey)).save(out, "PNG")
    return out.getvalue()


__all__ = ["film_png", "film_png_again"]

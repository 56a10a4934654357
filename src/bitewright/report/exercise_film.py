"""A film for an exercise: eight bits, with letters where something is asked about."""

from collections.abc import Mapping, Sequence
from io import BytesIO

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont
from PIL.PngImagePlugin import PngInfo

RING_MM, LETTER_MM = 1.1, 3.4
"""Radius of the ring about a place, and how far above it its letter stands. Our choice."""

BAND_MM, GAP_MM, LETTERS_MM = 3.4, 1.2, 2.2
"""Above films that lie beside one another stand their titles. Our choice."""


def exercise_film(
    pixels: NDArray[np.uint16],
    *,
    pixel_mm: float,
    places_mm: Mapping[str, tuple[float, float]],
) -> bytes:
    """A film as PNG; it says that it is simulated and nothing else.

    Parameters
    ----------
    pixels : (rows, columns) uint16 array
    pixel_mm : float
    places_mm : mapping of letter to (u, v)
        From the film's middle. [mm]
    """
    grey = Image.fromarray((pixels >> 8).astype(np.uint8)).convert("RGB" if places_mm else "L")
    draw = ImageDraw.Draw(grey)
    font = ImageFont.load_default(size=max(round(2.4 / pixel_mm), 12))
    middle = np.array(grey.size) / 2.0
    for letter, place in places_mm.items():
        x, y = middle + np.array(place) / pixel_mm
        ring, up = RING_MM / pixel_mm, LETTER_MM / pixel_mm
        # The letter keeps clear of the biting edges between the rows.
        up = up if place[1] < 0.0 else -up
        draw.ellipse((x - ring, y - ring, x + ring, y + ring), outline=(255, 214, 120), width=3)
        draw.text(
            (x, y - up),
            letter,
            fill=(255, 214, 120),
            font=font,
            anchor="mm",
            stroke_width=3,
            stroke_fill=(0, 0, 0),
        )
    return _saved(grey)


def films_beside(rows: Sequence[Mapping[str, NDArray[np.uint16]]], *, pixel_mm: float) -> bytes:
    """Films in rows as PNG, each under its title, from left to right as given.

    Parameters
    ----------
    rows : sequence of mappings of a title to (rows, columns) uint16 pixels
    pixel_mm : float
    """
    band, gap = round(BAND_MM / pixel_mm), round(GAP_MM / pixel_mm)
    greys = [
        {name: Image.fromarray((pixels >> 8).astype(np.uint8)) for name, pixels in row.items()}
        for row in rows
    ]
    wide = max(sum(each.width + gap for each in row.values()) - gap for row in greys)
    high = [band + max(each.height for each in row.values()) for row in greys]
    laid = Image.new("L", (wide, sum(high) + gap * (len(rows) - 1)), 0)
    draw = ImageDraw.Draw(laid)
    font = ImageFont.load_default(size=max(round(LETTERS_MM / pixel_mm), 12))
    top = 0
    for row, tall in zip(greys, high, strict=True):
        at = 0
        for title, grey in row.items():
            laid.paste(grey, (at, top + band))
            middle = (at + grey.width / 2, top + band / 2)
            draw.text(middle, title, fill=235, font=font, anchor="mm")
            at += grey.width + gap
        top += tall + gap
    return _saved(laid)


def _saved(picture: Image.Image) -> bytes:
    said = PngInfo()
    said.add_text("Description", "SIMULATED")
    held = BytesIO()
    picture.save(held, "PNG", pnginfo=said)
    return held.getvalue()


__all__ = ["exercise_film", "films_beside"]

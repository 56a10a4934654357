"""A film for an exercise: eight bits, with letters where something is asked about."""

from collections.abc import Mapping
from io import BytesIO

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont
from PIL.PngImagePlugin import PngInfo

RING_MM, LETTER_MM = 1.1, 3.4
"""Radius of the ring about a place, and how far above it its letter stands. Our choice."""


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
    said = PngInfo()
    said.add_text("Description", "SIMULATED")
    held = BytesIO()
    grey.save(held, "PNG", pnginfo=said)
    return held.getvalue()


__all__ = ["exercise_film"]

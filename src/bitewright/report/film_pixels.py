"""A film's pixels as a drawing shows them: eight bits, smoothly made smaller or larger."""

import numpy as np
from numpy.typing import NDArray
from PIL import Image


def shown_pixels(
    pixels: NDArray[np.uint16], *, bits: int, size: tuple[int, int]
) -> NDArray[np.uint8]:
    """Grey of a film (rows, columns) of so many bits, as (height, width) for a size of both."""
    grey = (pixels.astype(np.float64) * (255.0 / (2**bits - 1))).astype(np.uint8)
    return np.asarray(Image.fromarray(grey).resize(size, Image.Resampling.LANCZOS))


__all__ = ["shown_pixels"]

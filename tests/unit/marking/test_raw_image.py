"""Raw images: what can be a radiograph, and what is kept from changing."""

import math

import numpy as np
import pytest
from numpy.typing import NDArray

from bitewright.marking.raw_image import RawImage, RawImageError

PIXELS: NDArray[np.uint16] = np.arange(12, dtype=np.uint16).reshape(3, 4)


def raw(
    pixels: NDArray[np.uint16] = PIXELS, *, bits: int = 8, pixel_mm: float | None = 0.02
) -> RawImage:
    return RawImage(pixels=pixels, bits=bits, pixel_mm=pixel_mm, source="made up")


def test_rows_columns_and_size() -> None:
    image = raw()
    assert (image.rows, image.columns) == (3, 4)
    assert image.size_mm == pytest.approx((0.08, 0.06))
    assert raw(pixel_mm=None).size_mm is None


def test_pixels_cannot_be_changed_but_the_givers_array_can() -> None:
    own = PIXELS.copy()
    image = raw(own)
    with pytest.raises(ValueError, match="read-only"):
        image.pixels[0, 0] = 1
    own[0, 0] = 1


@pytest.mark.parametrize(
    ("pixels", "bits", "pixel_mm", "what"),
    [
        (PIXELS.astype(np.float64), 8, 0.02, "pixel data"),
        (PIXELS.ravel(), 8, 0.02, "pixel data"),
        (PIXELS[:0], 8, 0.02, "number of pixels"),
        (PIXELS + 250, 8, 0.02, "greatest value"),
        (PIXELS, 5, 0.02, "number of bits"),
        (PIXELS, 17, 0.02, "number of bits"),
        (PIXELS, 8, 0.5, "pixel size"),
        (PIXELS, 8, 0.0, "pixel size"),
        (PIXELS, 8, math.nan, "pixel size"),
    ],
)
def test_what_is_no_radiograph_is_refused(
    pixels: NDArray[np.uint16], bits: int, pixel_mm: float, what: str
) -> None:
    with pytest.raises(RawImageError, match="it must be") as caught:
        raw(pixels, bits=bits, pixel_mm=pixel_mm)
    assert caught.value.what == what

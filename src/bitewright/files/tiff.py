"""Decode TIFF."""

import logging
from io import BytesIO

import numpy as np
import tifffile
from numpy.typing import NDArray

from bitewright.errors import BitewrightError
from bitewright.files.decoded import (
    DamagedImageError,
    Decoded,
    UnsupportedImageError,
    refuse_oversize,
)
from bitewright.files.pixel_size import MM_PER_INCH

ONE_PAGE = "one page of 8 to 16 bit grey, or of red, green and blue with equal channels"
WHITE_IS_ZERO, BLACK_IS_ZERO, RGB = 0, 1, 2
DPI_PER_UNIT = {2: 1.0, 3: MM_PER_INCH / 10}  # dots an inch, dots a centimetre
INCH = 2

logging.getLogger("tifffile").addHandler(logging.NullHandler())  # we say it in one sentence


def decode_tiff(name: str, data: bytes) -> Decoded:
    """Content of a TIFF file; white-is-zero is turned round so that 0 is black."""
    try:
        with tifffile.TiffFile(BytesIO(data)) as file:
            page = _only_page(name, file)
            pixels = _channels_last(page)
            return _decoded(page, pixels)
    except BitewrightError:
        raise
    except Exception as error:  # a decoder fails in many ways on damaged content
        raise DamagedImageError(name, "TIFF") from error


def _only_page(name: str, file: tifffile.TiffFile) -> tifffile.TiffPage:
    if len(file.pages) != 1:
        raise UnsupportedImageError(name, f"{len(file.pages)} pages", ONE_PAGE)
    page = file.pages[0].aspage()
    refuse_oversize(name, page.imagewidth, page.imagelength)
    grey_or_rgb = page.photometric in (WHITE_IS_ZERO, BLACK_IS_ZERO, RGB)
    if not grey_or_rgb or page.dtype not in (np.uint8, np.uint16) or page.bitspersample < 8:
        sort = str(getattr(page.photometric, "name", "unknown")).lower()
        holds = f"{page.bitspersample} bit {page.dtype} pixels of the sort {sort}"
        raise UnsupportedImageError(name, holds, ONE_PAGE)
    if page.axes not in ("YX", "YXS", "SYX"):
        raise UnsupportedImageError(name, f"pixels arranged as {page.axes}", ONE_PAGE)
    return page


def _channels_last(page: tifffile.TiffPage) -> NDArray[np.generic]:
    pixels = page.asarray()
    if page.axes == "SYX":
        pixels = np.moveaxis(pixels, 0, -1)
    if page.photometric == WHITE_IS_ZERO:
        pixels = np.subtract((1 << page.bitspersample) - 1, pixels, dtype=np.uint16)
    return pixels


def _decoded(page: tifffile.TiffPage, pixels: NDArray[np.generic]) -> Decoded:
    tags = page.tags
    return Decoded(
        pixels=pixels,
        kind="TIFF",
        bits=page.bitspersample,
        stated_in="TIFF resolution",
        dpi=_dpi(tags.valueof("XResolution"), tags.valueof("YResolution"), _unit(page)),
        orientation=int(tags.valueof("Orientation", 1)),
        description=page.description,
    )


def _unit(page: tifffile.TiffPage) -> int:
    return int(page.tags.valueof("ResolutionUnit", INCH))  # inch where not stated: TIFF 6.0


def _dpi(x: object, y: object, unit: int) -> tuple[float, float] | None:
    per_unit = DPI_PER_UNIT.get(unit)
    if per_unit is None or not isinstance(x, tuple) or not isinstance(y, tuple):
        return None
    if not x[1] or not y[1]:
        return None
    return x[0] / x[1] * per_unit, y[0] / y[1] * per_unit


__all__ = ["decode_tiff"]

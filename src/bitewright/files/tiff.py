"""Decode and encode TIFF."""

import warnings
from fractions import Fraction
from io import BytesIO

import numpy as np
from numpy.typing import NDArray
from PIL import Image
from PIL.TiffImagePlugin import (
    BITSPERSAMPLE,
    COMPRESSION,
    IMAGEDESCRIPTION,
    PHOTOMETRIC_INTERPRETATION,
    RESOLUTION_UNIT,
    SAMPLEFORMAT,
    X_RESOLUTION,
    Y_RESOLUTION,
    IFDRational,
    ImageFileDirectory_v2,
    TiffImageFile,
)

from bitewright.errors import BitewrightError
from bitewright.files.decoded import (
    JPEG_ROUNDING,
    DamagedImageError,
    Decoded,
    UnsupportedImageError,
    refuse_oversize,
)

ONE_PAGE = "one page of 8 to 16 bit grey, or 8 bit with equal channels"
UNPACKED = "pixels packed by LZW, PackBits, deflate or JPEG, or not packed"
UNCOMPRESSED, JPEG_PACKED = 1, 7
PACKED = {UNCOMPRESSED, 5, JPEG_PACKED, 8, 32773, 32946}
"""Values of the tag Compression: LZW is 5, deflate 8 and 32946, PackBits 32773 (TIFF 6.0 and its
supplements)."""
WHITE_IS_ZERO = 0
WHOLE_NUMBERS = 1
CENTIMETRE = 3
DEEP_GREY = {"I;16", "I;16B"}


def decode_tiff(name: str, data: bytes) -> Decoded:
    """Content of a TIFF file, turned upright; of white-is-zero so that 0 is black."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # of odd tags
            image = TiffImageFile(BytesIO(data))
            bits = _bits(name, image)
            description = str(image.tag_v2.get(IMAGEDESCRIPTION, ""))
            white_is_zero = image.tag_v2.get(PHOTOMETRIC_INTERPRETATION) == WHITE_IS_ZERO
            dpi = image.info.get("dpi") if X_RESOLUTION in image.tag_v2 else None
            was_jpeg = image.tag_v2.get(COMPRESSION) == JPEG_PACKED
            pixels = np.asarray(image)
    except BitewrightError:
        raise
    except Exception as error:  # a decoder fails in many ways on damaged content
        packed = _packed_otherwise(data)
        if packed:
            raise UnsupportedImageError(name, packed, UNPACKED) from error
        if "unknown" in str(error):  # the sort of pixels
            raise UnsupportedImageError(name, "pixels of another sort", ONE_PAGE) from error
        raise DamagedImageError(name, "TIFF") from error
    if image.mode in DEEP_GREY:
        pixels = pixels.astype(np.uint16)
        if white_is_zero:  # of 8 bits it is turned round already
            pixels = np.subtract((1 << bits) - 1, pixels, dtype=np.uint16)
    return Decoded(
        pixels=pixels,
        kind="TIFF",
        bits=bits,
        stated_in="TIFF resolution",
        tolerance=JPEG_ROUNDING if was_jpeg else 0,
        dpi=None if dpi is None else (float(dpi[0]), float(dpi[1])),
        description=description.encode("latin-1", "replace").decode("utf-8", "replace"),
    )


def encode_tiff(pixels: NDArray[np.generic], pixel_mm: float | None, description: str) -> bytes:
    """A TIFF file of grey pixels, with their size [mm] where it is known."""
    tags = ImageFileDirectory_v2()
    tags[IMAGEDESCRIPTION] = description.encode("utf-8")
    if pixel_mm is not None:
        per_cm = Fraction(10 / pixel_mm).limit_denominator(1_000_000)
        tags[X_RESOLUTION] = tags[Y_RESOLUTION] = IFDRational(per_cm.numerator, per_cm.denominator)
        tags[RESOLUTION_UNIT] = CENTIMETRE
    file = BytesIO()
    Image.fromarray(pixels).save(file, "TIFF", tiffinfo=tags)
    return file.getvalue()


def _has_second_page(image: TiffImageFile) -> bool:
    try:
        image.seek(1)
    except EOFError:
        return False
    return True


def _packed_otherwise(data: bytes) -> str:
    """How the pixels are packed, if in none of the ways that are read everywhere; else nothing."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # of odd tags
            tags = ImageFileDirectory_v2(data[:8])
            file = BytesIO(data)
            file.seek(tags.next)
            tags.load(file)
            way = int(tags.get(COMPRESSION, UNCOMPRESSED))
    except Exception:  # noqa: BLE001  damaged after all
        return ""
    return "" if way in PACKED else f"pixels packed in way {way} of TIFF's (tag Compression)"


def _bits(name: str, image: TiffImageFile) -> int:
    """Bits a channel, of a picture that is read here."""
    refuse_oversize(name, *image.size)
    if _has_second_page(image):
        raise UnsupportedImageError(name, "several pages", ONE_PAGE)
    bits = set(image.tag_v2.get(BITSPERSAMPLE, (1,)))
    signs = set(image.tag_v2.get(SAMPLEFORMAT, (WHOLE_NUMBERS,)))
    is_grey = image.mode in DEEP_GREY
    is_plain = image.mode in {"L", "LA", "RGB", "RGBA"} and bits == {8}
    if signs != {WHOLE_NUMBERS} or not (is_grey or is_plain):
        holds = f"{max(bits)} bit pixels of the sort '{image.mode}'"
        raise UnsupportedImageError(name, holds, ONE_PAGE)
    return int(max(bits))


__all__ = ["decode_tiff", "encode_tiff"]

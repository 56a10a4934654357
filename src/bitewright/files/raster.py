"""Decode PNG and JPEG."""

import warnings
from io import BytesIO

import numpy as np
from PIL import Image

from bitewright.errors import BitewrightError
from bitewright.files.decoded import (
    JPEG_ROUNDING,
    DamagedImageError,
    Decoded,
    Plane,
    UnsupportedImageError,
    refuse_oversize,
)

EXIF_ORIENTATION = 0x0112
PNG_BITS_AT, PNG_COLOUR_AT = 24, 25  # place of both bytes in the header every PNG begins with
PNG_GREY, PNG_PALETTE = 0, 3
SCAN_STARTS = b"\xff\xda"
MOST_SCANS = 100
"""Each scan goes over all of the picture again. Usual are ten at most (common practice, no
source)."""
ONE_PICTURE = "one picture of 8 or 16 bit grey, or 8 bit with equal channels"


def decode_png(name: str, data: bytes) -> Decoded:
    """Content of a PNG file; 16 bits only in grey."""
    if len(data) <= PNG_COLOUR_AT:
        raise DamagedImageError(name, "PNG")
    bits, colour = data[PNG_BITS_AT], data[PNG_COLOUR_AT]
    if (bits < 8 and colour != PNG_PALETTE) or (bits == 16 and colour != PNG_GREY):
        holds = f"{bits} bits a channel" + ("" if colour == PNG_GREY else " in several channels")
        raise UnsupportedImageError(name, holds, ONE_PICTURE)
    return _decoded(name, data, kind="PNG", bits=max(bits, 8), stated_in="PNG pHYs")


def decode_jpeg(name: str, data: bytes) -> Decoded:
    """Content of a JPEG file, which is lossy: fine for marks, less so for grey levels."""
    if data.count(SCAN_STARTS) > MOST_SCANS:
        raise UnsupportedImageError(name, f"more than {MOST_SCANS} scans", ONE_PICTURE)
    return _decoded(name, data, kind="JPEG", bits=8, stated_in="JPEG density")


def _decoded(name: str, data: bytes, *, kind: str, bits: int, stated_in: str) -> Decoded:
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # of size, which is refused below, and of odd tags
            image = Image.open(BytesIO(data), formats=[kind])
            refuse_oversize(name, *image.size)
            _refuse_several(name, image)
            orientation = image.getexif().get(EXIF_ORIENTATION, 1)
            dpi = image.info.get("dpi")
            clear = image.info.get("transparency")
            description = str(image.info.get("Description", ""))
            has_clear_colours = image.mode == "P" and clear is not None
            shown = {"P": "RGBA" if has_clear_colours else "RGB"}.get(image.mode, image.mode)
            pixels = np.asarray(image if shown == image.mode else image.convert(shown))
            _refuse_transparent(name, pixels, None if image.mode == "P" else clear)
    except BitewrightError:
        raise
    except Image.DecompressionBombError as error:
        raise UnsupportedImageError(name, "far too many pixels", ONE_PICTURE) from error
    except Exception as error:  # a decoder fails in many ways on damaged content
        raise DamagedImageError(name, kind) from error
    return Decoded(
        pixels=pixels.astype(np.uint16) if bits == 16 else pixels,
        kind=kind,
        bits=bits,
        stated_in=stated_in,
        dpi=None if dpi is None else (float(dpi[0]), float(dpi[1])),
        orientation=orientation,
        tolerance=JPEG_ROUNDING if kind == "JPEG" else 0,
        description=description,
    )


def _refuse_transparent(name: str, pixels: Plane, clear: object) -> None:
    """Refuse a picture of which parts have the colour that its file calls transparent."""
    if clear is None:
        return
    is_clear = pixels == np.asarray(clear)
    if (is_clear.all(axis=2) if pixels.ndim == 3 else is_clear).any():
        raise UnsupportedImageError(name, "transparent parts", "an opaque picture")


def _refuse_several(name: str, image: Image.Image) -> None:
    if getattr(image, "n_frames", 1) > 1:
        raise UnsupportedImageError(name, "several pictures", ONE_PICTURE)
    if image.mode not in {"L", "LA", "P", "RGB", "RGBA", "I", "I;16"}:
        raise UnsupportedImageError(name, f"pixels of the sort '{image.mode}'", ONE_PICTURE)


__all__ = ["decode_jpeg", "decode_png"]

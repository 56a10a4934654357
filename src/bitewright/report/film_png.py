"""A film's picture as PNG, drawn afresh: eight bits, and nothing else of its file."""

from io import BytesIO

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


__all__ = ["film_png"]

"""From the resolution an image file states to a pixel size, or to a reason for having none."""

import math
from dataclasses import dataclass

from bitewright.errors import BitewrightError
from bitewright.marking.raw_image import is_plausible_pixel_mm
from bitewright.words import pixel_sizes as words

MM_PER_INCH = 25.4
DEFAULT_DPI = (72.0, 96.0)
DEFAULT_BAND_DPI = 0.5
SQUARE_WITHIN = 1e-3


class AnisotropicPixelsError(BitewrightError):
    """An image's pixels are not square, so one pixel size does not describe them."""

    def __init__(self, name: str, x_dpi: float, y_dpi: float) -> None:
        self.name = name
        self.x_dpi = x_dpi
        self.y_dpi = y_dpi
        super().__init__(
            f"The image {name} states {x_dpi:.5g} dots an inch across and {y_dpi:.5g} down; only "
            "square pixels are read: export it anew with equal resolution both ways."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class PixelSize:
    """A pixel size or None, where it came from, and what was doubtful about it."""

    pixel_mm: float | None
    origin: str
    caveats: tuple[str, ...] = ()


def pixel_size_from_dpi(name: str, dpi: tuple[float, float] | None, *, stated_in: str) -> PixelSize:
    """The pixel size a stated resolution means.

    72 and 96 dots an inch are what programs write when they know nothing, and are taken for no
    pixel size; so is what no intraoral receptor or film scanner has (see `RawImage`). A false but
    plausible value, such as 300 from an office scanner's default, cannot be told from a true one.

    Raises
    ------
    AnisotropicPixelsError
        If the two resolutions differ by more than one in a thousand.
    """
    if dpi is None or not all(math.isfinite(value) and value > 0 for value in dpi):
        return PixelSize(pixel_mm=None, origin=words.NOT_STATED)
    if all(_is_default(value) for value in dpi):
        return _ignored(words.default_resolution(dpi[0]))
    if abs(dpi[0] - dpi[1]) > SQUARE_WITHIN * max(dpi):
        raise AnisotropicPixelsError(name, *dpi)
    pixel_mm = MM_PER_INCH * 2 / (dpi[0] + dpi[1])
    if not is_plausible_pixel_mm(pixel_mm):
        return _ignored(words.impossible_resolution(dpi[0], pixel_mm))
    return PixelSize(pixel_mm=pixel_mm, origin=words.stated_in(stated_in))


def _is_default(dpi: float) -> bool:
    return any(abs(dpi - default) <= DEFAULT_BAND_DPI for default in DEFAULT_DPI)


def _ignored(caveat: str) -> PixelSize:
    return PixelSize(pixel_mm=None, origin=words.RESOLUTION_IGNORED, caveats=(caveat,))


__all__ = ["AnisotropicPixelsError", "PixelSize", "pixel_size_from_dpi"]

"""A picture as a file gave it: grey levels, how many bits, and what is known of its size."""

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from bitewright.errors import BitewrightError

LEAST_PIXEL_MM = 0.005
GREATEST_PIXEL_MM = 0.2
MOST_PIXELS = 25_000_000
"""Five times what the finest receptor or film scan has. Our choice."""


class RawImageError(BitewrightError):
    """Grey levels, bits or pixel size cannot be those of an intraoral radiograph."""

    def __init__(self, what: str, given: object, allowed: str) -> None:
        self.what = what
        self.given = given
        self.allowed = allowed
        super().__init__(f"The image's {what} is {given}; it must be {allowed}.")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class RawImage:
    """One grey picture, as displayed: 0 is black and the greatest value white.

    Whether a value is proportional to exposure, or was changed for display, the file seldom says;
    nothing here assumes either. What was doubtful is said in `caveats`, never printed.

    Parameters
    ----------
    pixels : (rows, columns) uint16 array
        Row 0 is the top as displayed; kept read-only.
    bits : int
        Values run from 0 to 2**bits - 1; 6 to 16.
    pixel_mm : float or None
        Size of a pixel at the receptor, not at the teeth; None where the file does not say. [mm]
    source : str
        What the file was and where its pixel size came from, for people.
    attributes : mapping of str to str
        The few other facts a reader passes on, such as "image_laterality"; never an identity.
    caveats : tuple of str
        What the reader had to decide or leave out, one sentence each.
    names_patient : tuple of str
        Which facts of a patient the file fills in, such as "name"; never what they are.

    Raises
    ------
    RawImageError
        If the array is not two-dimensional uint16, empty or too large, a value exceeds its bits,
        or the pixel size is not from 0.005 to 0.2 mm. Our choice: the range spans every receptor
        and film scanner, 0.015 to 0.1 mm, with room to spare.
    """

    pixels: NDArray[np.uint16]
    bits: int
    pixel_mm: float | None
    source: str
    attributes: Mapping[str, str] = field(default_factory=dict)
    caveats: tuple[str, ...] = ()
    names_patient: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        pixels = np.ascontiguousarray(self.pixels)
        if pixels is self.pixels:
            pixels = pixels.view()  # read-only for us, without changing the caller's own array
        _check_pixels(pixels, self.bits)
        if self.pixel_mm is not None and not is_plausible_pixel_mm(self.pixel_mm):
            allowed = f"from {LEAST_PIXEL_MM} to {GREATEST_PIXEL_MM} mm, or unknown"
            raise RawImageError("pixel size", self.pixel_mm, allowed)
        pixels.setflags(write=False)
        object.__setattr__(self, "pixels", pixels)

    @property
    def rows(self) -> int:
        """Height in pixels."""
        return int(self.pixels.shape[0])

    @property
    def columns(self) -> int:
        """Width in pixels."""
        return int(self.pixels.shape[1])

    @property
    def size_mm(self) -> tuple[float, float] | None:
        """Width and height on the receptor, or None without a pixel size. [mm]."""
        if self.pixel_mm is None:
            return None
        return self.columns * self.pixel_mm, self.rows * self.pixel_mm


def is_plausible_pixel_mm(pixel_mm: float) -> bool:
    """Whether a pixel size can be that of an intraoral receptor or a film scanner."""
    return LEAST_PIXEL_MM <= pixel_mm <= GREATEST_PIXEL_MM  # false for NaN


def _check_pixels(pixels: NDArray[np.uint16], bits: int) -> None:
    if not 6 <= bits <= 16:
        raise RawImageError("number of bits", bits, "6 to 16")
    if pixels.dtype != np.uint16 or pixels.ndim != 2:
        given = f"an array of {pixels.dtype} with {pixels.ndim} dimensions"
        raise RawImageError("pixel data", given, "uint16, rows by columns")
    if not 0 < pixels.size <= MOST_PIXELS:
        raise RawImageError("number of pixels", pixels.size, f"1 to {MOST_PIXELS}")
    if int(pixels.max()) >= 1 << bits:
        raise RawImageError("greatest value", int(pixels.max()), f"below 2 to the power {bits}")


__all__ = [
    "GREATEST_PIXEL_MM",
    "LEAST_PIXEL_MM",
    "MOST_PIXELS",
    "RawImage",
    "RawImageError",
    "is_plausible_pixel_mm",
]

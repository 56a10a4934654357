"""What a format's decoder hands over, and how it becomes one upright grey plane."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from bitewright.errors import BitewrightError
from bitewright.marking.raw_image import MOST_PIXELS

Plane = NDArray[np.generic]
JPEG_ROUNDING = 2
"""Levels by which a grey picture's channels may differ after compression."""


class DamagedImageError(BitewrightError):
    """An image file's content cannot be decoded."""

    def __init__(self, name: str, kind: str) -> None:
        self.name = name
        self.kind = kind
        super().__init__(
            f"The image {name} begins like a {kind} file but cannot be decoded: it is damaged or "
            "incomplete, so copy or export it anew."
        )


class UnsupportedImageError(BitewrightError):
    """An image file is sound, but of a sort not read here."""

    def __init__(self, name: str, holds: str, allowed: str) -> None:
        self.name = name
        self.holds = holds
        self.allowed = allowed
        super().__init__(f"The image {name} holds {holds}; give one that holds {allowed}.")


class ColourImageError(BitewrightError):
    """An image is in colour: its channels differ."""

    def __init__(self, name: str, difference: int) -> None:
        self.name = name
        self.difference = difference
        super().__init__(
            f"The image {name} is in colour (its channels differ by up to {difference} levels); "
            "give a grey one, exported without coloured marks or tints."
        )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Decoded:
    """Decoded content, before anything is judged.

    Parameters
    ----------
    pixels : (rows, columns) or (rows, columns, channels) uint8 or uint16 array
        Channels: one grey, or red, green, blue, either followed by an opacity.
    kind, stated_in : str
        Format, and which of its fields states the resolution.
    bits : int
    dpi : (2,) float or None
        Across and down; None if not stated. [1/inch]
    orientation : int
        As TIFF and EXIF count it: 1 is upright, see `UPRIGHT`.
    tolerance : int
        By how many levels the channels of a grey picture may differ.
    description : str
        The file's text about itself.
    """

    pixels: Plane
    kind: str
    bits: int
    stated_in: str
    dpi: tuple[float, float] | None
    orientation: int = 1
    tolerance: int = 0
    description: str = ""


UPRIGHT: dict[int, Callable[[Plane], Plane]] = {
    1: lambda a: a,
    2: lambda a: a[:, ::-1],
    3: lambda a: a[::-1, ::-1],
    4: lambda a: a[::-1],
    5: lambda a: a.swapaxes(0, 1),
    6: lambda a: a[::-1].swapaxes(0, 1),
    7: lambda a: a[::-1, ::-1].swapaxes(0, 1),
    8: lambda a: a[:, ::-1].swapaxes(0, 1),
}


def grey_plane(name: str, decoded: Decoded) -> NDArray[np.uint16]:
    """One upright plane of grey levels.

    Equal channels are reduced to one. Real colour is refused rather than turned into luminance:
    a tint or a coloured mark would become grey levels that no receptor recorded. (Our choice.)

    Raises
    ------
    ColourImageError
        If the channels differ by more than the format's rounding.
    UnsupportedImageError
        If part of the picture is transparent.
    """
    pixels = decoded.pixels
    if pixels.ndim == 3:
        pixels = _one_channel(name, pixels, decoded)
    upright = UPRIGHT.get(decoded.orientation, UPRIGHT[1])(pixels)
    return np.ascontiguousarray(upright, dtype=np.uint16)


def _one_channel(name: str, pixels: NDArray[Any], decoded: Decoded) -> Plane:
    channels = pixels.shape[2]
    if channels in (2, 4) and int(pixels[..., -1].min()) < (1 << decoded.bits) - 1:
        raise UnsupportedImageError(name, "transparent parts", "an opaque picture")
    colours = channels - (channels in (2, 4))
    # One channel at a time: all at once would take many times the picture's own memory.
    high, low = pixels[..., 0].copy(), pixels[..., 0].copy()
    for channel in range(1, colours):
        np.maximum(high, pixels[..., channel], out=high)
        np.minimum(low, pixels[..., channel], out=low)
    difference = int((high - low).max())
    if difference > decoded.tolerance:
        raise ColourImageError(name, difference)
    return pixels[..., min(1, colours - 1)]


def refuse_oversize(name: str, columns: int, rows: int) -> None:
    """Refuse a picture too large for a film, before memory is spent on it."""
    if columns * rows > MOST_PIXELS:
        raise UnsupportedImageError(
            name, f"{columns} by {rows} pixels", f"at most {MOST_PIXELS} in all"
        )


__all__ = [
    "JPEG_ROUNDING",
    "ColourImageError",
    "DamagedImageError",
    "Decoded",
    "Plane",
    "UnsupportedImageError",
    "grey_plane",
    "refuse_oversize",
]

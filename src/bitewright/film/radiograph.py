"""A displayed radiograph: grey pixels, their size, and where they come from."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Radiograph:
    """An image as displayed: air dark, enamel and metal bright, seen from the tube.

    Parameters
    ----------
    pixels : (rows, columns) uint16 array
        Grey, 0 black to 65535 white; row 0 at the top. Kept read-only.
    pixel_mm : float
        Side of a pixel on the receptor. [mm]
    provenance : mapping of str to str, float or int
        What made it: a simulated film always says ``"simulated": "true"``.
    """

    pixels: NDArray[np.uint16]
    pixel_mm: float
    provenance: Mapping[str, str | float | int] = field(default_factory=dict)

    def __post_init__(self) -> None:
        pixels = np.array(self.pixels, dtype=np.uint16)
        pixels.setflags(write=False)
        object.__setattr__(self, "pixels", pixels)
        object.__setattr__(self, "provenance", MappingProxyType(dict(self.provenance)))


__all__ = ["Radiograph"]

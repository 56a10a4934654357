"""Scale: what turns distances on the receptor into distances at the contact."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Scale:
    """Local magnification, obliquity and enamel at each of C contacts, in E exposures.

    Parameters
    ----------
    magnification : (E, C) float array
        Image size over object size at the contact. [ratio]
    cos_obliquity : (E, C) float array
        Cosine of the angle, along the row of teeth, between the ray through the contact and the
        receptor's normal.
    enamel_mm : (C,) float array
        The thinner of the two adjoining enamels. [mm]
    magnification_sd, enamel_sd_mm : float
        Standard deviations; zero where the exposure and the mouth are known.
    obliquity_sd_deg : float
        Standard deviation of the obliquity. [deg]
    """

    magnification: Floats
    cos_obliquity: Floats
    enamel_mm: Floats
    magnification_sd: float = 0.0
    obliquity_sd_deg: float = 0.0
    enamel_sd_mm: float = 0.0

    @property
    def object_per_receptor(self) -> Floats:
        """Millimetres at the contact for one on the receptor, shape (E, C). [ratio]"""
        return self.cos_obliquity / self.magnification


__all__ = ["Scale"]

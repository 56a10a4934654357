"""Tone: from a receptor's signal to the grey that is displayed.

Figures: ``tables/tone_curves.toml``.
"""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from bitewright.figure_tables import figures_of

Image = NDArray[np.float32]

WHITE = 255.0
"""The brightest 8-bit grey."""

LEAST_SIGNAL = 1e-6
"""Keeps the logarithm of a signal finite, as a share of the open beam."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ToneCurve:
    """Grey against p = -ln(signal): black + span (1 - exp(-(p / scale)^power)) + tail p, 8-bit.

    Our model: where it is steepest tissues stand out most.

    Parameters
    ----------
    black, span : float
        Grey of the open beam, and how much brighter it gets at last.
    scale, power : float
        At which p it has got most of the way, and how steep it is there.
    tail : float
        How much it rises beyond, for each unit of p.
    """

    black: float
    span: float
    scale: float
    power: float
    tail: float = 0.0

    def grey(self, signal: Image) -> Image:
        """8-bit grey, unrounded, of a signal relative to the open beam at the right exposure.

        Any shape.
        """
        p = np.maximum(-np.log(np.maximum(signal, LEAST_SIGNAL)), 0.0)
        share = -np.expm1(-((p / self.scale) ** self.power))
        return np.asarray(self.black + self.span * share + self.tail * p, dtype=np.float32)


@dataclass(frozen=True, slots=True, kw_only=True)
class OpticalDensityCurve:
    """Film on a light box: blackness against exposure, then as bright as an eye finds it.

    Our model: direct-exposure film blackens in proportion to exposure until it nears its greatest
    density (common practice); an eye finds light as bright as a root of it.

    Parameters
    ----------
    base, greatest : float
        Optical density without exposure, and at last.
    speed : float
        How soon it blackens.
    """

    base: float
    greatest: float
    speed: float

    def grey(self, signal: Image) -> Image:
        """8-bit grey, unrounded, of a signal relative to the open beam at the right exposure.

        Any shape.
        """
        density = (self.greatest - self.base) * -np.expm1(-self.speed * np.maximum(signal, 0.0))
        return np.asarray(WHITE * 10.0 ** (-density / EYE_POWER), dtype=np.float32)


EYE_POWER = 2.2
"""An eye finds light as bright as its root of this power: the usual exponent of displays, common
practice, no source."""


class ToneCurves(NamedTuple):
    """The curves there are."""

    displayed: ToneCurve
    plate: ToneCurve
    optical_density: OpticalDensityCurve


TONES = figures_of(ToneCurves, "bitewright.film", "tone_curves")

__all__ = ["TONES", "WHITE", "OpticalDensityCurve", "ToneCurve"]

"""How many images to look at, and how little a few tell.

Sources: Montgomery & Runger, Applied Statistics, chapter 8 (one proportion); Fleiss, Statistical
Methods for Rates and Proportions (two groups, without continuity correction); the chance of passing
a survey is the binomial distribution.
"""

import math
from dataclasses import dataclass

from scipy.special import bdtr, ndtri

from bitewright.audit.proportions import CONFIDENCE, z_of
from bitewright.errors import BitewrightError


class ImpossibleShareError(BitewrightError):
    """A share, margin or power outside what can be worked with."""

    def __init__(self, name: str, given: float, low: float, high: float) -> None:
        self.name = name
        self.given = given
        super().__init__(
            f"The {name} is {given:g}, must be between {low:g} and {high:g}: correct it."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class SurveyPower:
    """What "at most so many of so many" does: the chance that a rate passes it."""

    most: int
    images: int
    rate: float
    passes: float


def images_for_margin(share: float, margin: float, *, confidence: float = CONFIDENCE) -> int:
    """Images to know one share to within a margin either way, rounded up.

    Source: Montgomery DC, Runger GC, Applied Statistics and Probability for Engineers, chapter 8
    (from memory).
    """
    _within("share", share)
    _within("margin", margin)
    return math.ceil(z_of(confidence) ** 2 * share * (1 - share) / margin**2)


def images_for_change(
    first: float, second: float, *, power: float = 0.8, confidence: float = CONFIDENCE
) -> int:
    """Images in each of two groups to see a change of share with a given power, rounded up.

    Source: Fleiss JL, Statistical Methods for Rates and Proportions, without continuity correction
    (from memory).
    """
    for share in (first, second):
        _within("share", share)
    _within("power", power)
    if first == second:
        raise ImpossibleShareError("second share (the same as the first)", second, 0, 1)
    middle = (first + second) / 2
    alike = z_of(confidence) * math.sqrt(2 * middle * (1 - middle))
    apart = float(ndtri(power)) * math.sqrt(first * (1 - first) + second * (1 - second))
    return math.ceil((alike + apart) ** 2 / (first - second) ** 2)


def fall_seen(first: float, images: int, *, power: float = 0.8) -> float | None:
    """The highest second share that a fall to would be seen with so many images in each group.

    None where even a fall to nearly nothing would not be. To a thousandth; as `images_for_change`.
    """
    _within("first share", first)
    seconds = [k / 1000 for k in range(1, math.ceil(1000 * first)) if k / 1000 < first]
    seen = [each for each in seconds if images_for_change(first, each, power=power) <= images]
    return max(seen, default=None)


def survey_power(most: int, images: int, rate: float) -> SurveyPower:
    """Chance that somebody with a true retake rate has at most ``most`` retakes in ``images``.

    The binomial distribution, exact.
    """
    _within("rate", rate)
    if not 0 <= most <= images:
        raise ImpossibleShareError("number of retakes allowed", most, 0, images)
    return SurveyPower(
        most=most, images=images, rate=rate, passes=float(bdtr(float(most), images, rate))
    )


def _within(name: str, value: float) -> None:
    if not 0.0 < value < 1.0:
        raise ImpossibleShareError(name, value, 0, 1)


__all__ = [
    "ImpossibleShareError",
    "SurveyPower",
    "fall_seen",
    "images_for_change",
    "images_for_margin",
    "survey_power",
]

"""How many images an audit needs, and what a small survey is worth."""

from dataclasses import dataclass
from typing import Any

from bitewright import __version__
from bitewright.audit.expected_rates import ExpectedRate, expected_rates
from bitewright.audit.sample_size import (
    SurveyPower,
    images_for_change,
    images_for_margin,
    survey_power,
)
from bitewright.errors import BitewrightError, quoted
from bitewright.words.sample_sizes import ALIKE, for_change, for_margin, survey_words

SAMPLE_FORMAT = "bitewright.sample/1"


class UnknownKindError(BitewrightError):
    """No rate is known for a kind of image."""

    def __init__(self, given: str) -> None:
        super().__init__(
            f"No published rate is known for {quoted(given)}: "
            f"give one of {', '.join(expected_rates())}."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class SurveySize:
    """Sizes for a rate. ``for_change``: in each of two samples; None where none was asked."""

    rate: float
    expected: ExpectedRate
    margin: float
    for_margin: int
    to: float | None
    power: float
    for_change: int | None
    survey: SurveyPower

    def sentences(self) -> tuple[str, ...]:
        """For people."""
        s = self.survey
        change: tuple[str, ...] = ()
        if self.for_change is not None and self.to is not None:
            change = (for_change(self.for_change, rate=self.rate, to=self.to, power=self.power),)
        twice = survey_power(s.most, s.images, min(2 * s.rate, 0.99))
        return (
            for_margin(self.for_margin, rate=self.rate, margin=self.margin),
            *change,
            survey_words(s, twice),
            ALIKE,
        )

    def document(self) -> dict[str, Any]:
        """As data for machines."""
        return {
            "format": SAMPLE_FORMAT,
            "version": __version__,
            "rate": self.rate,
            "rate_source": self.expected.source if self.rate == self.expected.rate else "given",
            "margin": self.margin,
            "images_for_margin": self.for_margin,
            "to": self.to,
            "power": self.power,
            "images_for_change": self.for_change,
            "survey": {
                "most": self.survey.most,
                "images": self.survey.images,
                "passes": round(self.survey.passes, 5),
            },
        }


def size_survey(
    *,
    rate: float | None,
    margin: float,
    to: float | None,
    power: float,
    most: int,
    images: int,
    kind: str,
) -> SurveySize:
    """Work the sizes out.

    Raises
    ------
    UnknownKindError, ImpossibleShareError
    """
    known = expected_rates().get(kind)
    if known is None:
        raise UnknownKindError(kind)
    at = known.rate if rate is None else rate
    return SurveySize(
        rate=at,
        expected=known,
        margin=margin,
        for_margin=images_for_margin(at, margin),
        to=to,
        power=power,
        for_change=None if to is None else images_for_change(at, to, power=power),
        survey=survey_power(most, images, at),
    )


__all__ = ["SurveySize", "UnknownKindError", "size_survey"]

"""Agreement between people who rate the same images.

Sources: Cohen J, Educ Psychol Meas 1960;20:37-46; its standard errors: Fleiss JL, Cohen J, Everitt
BS, Psychol Bull 1969;72:323-7; Fleiss JL, Psychol Bull 1971;76:378-82; its interval: Wilson's
(1927) of the share alike, in kappa's own scale, our choice. The tests set the values against
statsmodels.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bitewright.audit.design_effect import DesignEffect
from bitewright.audit.proportions import CONFIDENCE, Share, share_of, wilson
from bitewright.errors import BitewrightError

Floats = NDArray[np.float64]


PLAIN_IMAGES = 15.0
"""How many images' worth the binomial variance of the share alike counts beside kappa's own
standard error, which few images make unsteady. Our choice: so intervals of ten images hold about
as often as those of a hundred."""


class TooFewRatingsError(BitewrightError):
    """Ratings that no agreement can be worked out from."""

    def __init__(self, problem: str) -> None:
        super().__init__(
            f"Agreement cannot be worked out, because {problem}: give at least two raters who "
            "rated the same two or more images, with at least two different grades among them."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Kappa:
    """Agreement beyond chance.

    Parameters
    ----------
    kind : str
        "Cohen", "Cohen, linear weights" or "Fleiss".
    value : float
        1 is perfect, 0 is what chance gives.
    sd, null_sd : float
        Standard error, and the one that holds if there were only chance; NaN where unknown.
    low, high : float
        Interval at ``confidence``.
    """

    kind: str
    value: float
    sd: float
    null_sd: float
    low: float
    high: float
    confidence: float


def cohen(table: ArrayLike, *, weighted: bool = False, confidence: float = CONFIDENCE) -> Kappa:
    """Cohen's kappa of two raters.

    Parameters
    ----------
    table : (G, G) array_like of int
        Images by the first rater's grade (rows) and the second's (columns).
    weighted : bool
        Linear weights for ordered grades: a near miss counts for part.
    """
    counts = _square(table)
    grades = np.arange(len(counts))
    apart = np.abs(grades[:, None] - grades) / max(len(counts) - 1, 1)
    worth = 1.0 - apart if weighted else np.eye(len(counts))
    value, sd, null_sd = _cohen_with_errors(counts, worth)
    seen = counts / counts.sum()
    chance = float((worth * np.outer(seen.sum(axis=1), seen.sum(axis=0))).sum())
    low, high = _interval(value, sd, chance, float(counts.sum()), 2, confidence)
    return Kappa(
        kind="Cohen, linear weights" if weighted else "Cohen",
        value=value,
        sd=sd,
        null_sd=null_sd,
        low=low,
        high=high,
        confidence=confidence,
    )


def fleiss(counts: ArrayLike, *, confidence: float = CONFIDENCE) -> Kappa:
    """Fleiss' kappa of several raters; its interval by leaving out one image at a time.

    Parameters
    ----------
    counts : (S, G) array_like of int
        How many raters gave image s grade g; every image by as many raters.
    """
    table = np.asarray(counts, dtype=np.int64)
    if len(table) < 2 or table.sum(axis=1).min() < 2:
        problem = "fewer than two images or raters are left"
        raise TooFewRatingsError(problem)
    if (table.sum(axis=0) > 0).sum() < 2:
        problem = "only one grade was ever given"
        raise TooFewRatingsError(problem)
    value = _fleiss(table)
    left_out = _fleiss_without_one(table)
    known = left_out[np.isfinite(left_out)]
    images = len(known)
    sd = float(np.sqrt((images - 1) / images * ((known - known.mean()) ** 2).sum()))
    chance = float(((table.sum(axis=0) / table.sum()) ** 2).sum())
    low, high = _interval(value, sd, chance, images, int(table[0].sum()), confidence)
    return Kappa(
        kind="Fleiss",
        value=value,
        sd=sd,
        null_sd=float("nan"),
        low=low,
        high=high,
        confidence=confidence,
    )


def _interval(
    value: float, sd: float, chance: float, images: float, raters: int, confidence: float
) -> tuple[float, float]:
    """Ends of kappa's interval: Wilson's of the share alike, of as many images as ``sd`` says.

    Where all are alike the standard error is nothing and says nothing: then of all images. So few
    images that happen to agree wholly are not taken for proof.
    """
    share, error = value * (1.0 - chance) + chance, sd * (1.0 - chance)
    worth = images
    if 1e-9 < share < 1.0 - 1e-9:
        plain = share * (1.0 - share)
        # Of raters taken two and two, none of them twice.
        alone = plain / (images * (raters // 2))
        variance = (images * error**2 + PLAIN_IMAGES * alone) / (images + PLAIN_IMAGES)
        worth = plain / variance
    effect = DesignEffect(value=np.array(1.0), freedom=np.array(images - 1.0))
    low, high = wilson(share * worth, worth, confidence=confidence, design_effect=effect)
    least, most = ((float(end) - chance) / (1.0 - chance) for end in (low, high))
    return max(least, -1.0), min(most, 1.0)


def percent_agreement(table: ArrayLike) -> Share:
    """Images two raters graded alike, of a table (G, G).

    Told beside kappa, which falls when nearly all images have one grade.
    """
    counts = _square(table)
    return share_of(int(np.trace(counts)), int(counts.sum()))


def two_way(first: Sequence[str], second: Sequence[str], grades: Sequence[str]) -> Floats:
    """Table (G, G) of two raters' grades."""
    place = {grade: index for index, grade in enumerate(grades)}
    table = np.zeros((len(grades), len(grades)))
    for one, other in zip(first, second, strict=True):
        table[place[one], place[other]] += 1
    return table


def _cohen_with_errors(table: Floats, worth: Floats) -> tuple[float, float, float]:
    """Kappa, its standard error, and the one that holds if there were only chance.

    ``worth``: what a pair of grades counts for, 1 where they are the same, (G, G).
    """
    images = table.sum()
    seen = table / images
    first, second = seen.sum(axis=1), seen.sum(axis=0)
    by_chance = np.outer(first, second)
    expected = (worth * by_chance).sum()
    value = ((worth * seen).sum() - expected) / (1.0 - expected)
    mean = (worth @ second)[:, None] + first @ worth
    spread = (seen * (worth - mean * (1.0 - value)) ** 2).sum()
    spread -= (value - expected * (1.0 - value)) ** 2
    null_spread = (by_chance * (worth - mean) ** 2).sum() - expected**2
    scale = np.sqrt(images) * (1.0 - expected)
    sd, null_sd = np.sqrt(np.maximum([spread, null_spread], 0.0)) / scale
    return float(value), float(sd), float(null_sd)


def _fleiss(table: NDArray[np.int64]) -> float:
    raters = table.sum(axis=1)
    seen = ((table * (table - 1)).sum(axis=1) / (raters * (raters - 1))).mean()
    expected = ((table.sum(axis=0) / table.sum()) ** 2).sum()
    return float((seen - expected) / (1.0 - expected))


def _fleiss_without_one(table: NDArray[np.int64]) -> Floats:
    """Kappa with each image left out in turn, (S,)."""
    raters = table.sum(axis=1)
    alike = (table * (table - 1)).sum(axis=1) / (raters * (raters - 1))
    images = len(table) - 1
    mean = (alike.sum() - alike) / images
    left = table.sum(axis=0) - table
    chance = ((left / left.sum(axis=1, keepdims=True)) ** 2).sum(axis=1)
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.asarray((mean - chance) / (1 - chance), dtype=np.float64)


def _square(table: ArrayLike) -> Floats:
    counts = np.asarray(table, dtype=np.float64)
    if counts.ndim != 2 or counts.shape[0] != counts.shape[1] or counts.sum() < 2:
        problem = "there is no square table of two or more images"
        raise TooFewRatingsError(problem)
    used = (counts.sum(axis=0) > 0) | (counts.sum(axis=1) > 0)
    if used.sum() < 2:
        problem = "only one grade was ever given"
        raise TooFewRatingsError(problem)
    return counts


__all__ = [
    "Kappa",
    "TooFewRatingsError",
    "cohen",
    "fleiss",
    "percent_agreement",
    "two_way",
]

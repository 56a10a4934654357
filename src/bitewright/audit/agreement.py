"""Agreement between people who rate the same images.

Sources: Cohen J, Educ Psychol Meas 1960;20:37-46; its standard errors: Fleiss JL, Cohen J, Everitt
BS, Psychol Bull 1969;72:323-7; Fleiss JL, Psychol Bull 1971;76:378-82; its interval: Wilson's
(1927) of the share alike, in kappa's own scale, our choice. The tests set the values against
statsmodels. Where patients have several images, the errors of kappa are found by leaving out one
patient at a time (Tukey JW, Ann Math Stat 1958;29:614, from memory).
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bitewright.audit.design_effect import USUAL_CORRELATION, DesignEffect
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


def cohen(
    table: ArrayLike,
    *,
    weighted: bool = False,
    patients: ArrayLike | None = None,
    confidence: float = CONFIDENCE,
) -> Kappa:
    """Cohen's kappa of two raters.

    Parameters
    ----------
    table : (G, G) array_like of int
        Images by the first rater's grade (rows) and the second's (columns).
    weighted : bool
        Linear weights for ordered grades: a near miss counts for part.
    patients : (P, G, G) array_like of int, optional
        The same table of each patient's images, where some have several.
    """
    counts = _square(table)
    grades = np.arange(len(counts))
    apart = np.abs(grades[:, None] - grades) / max(len(counts) - 1, 1)
    worth = 1.0 - apart if weighted else np.eye(len(counts))
    value, sd, null_sd = _cohen_with_errors(counts, worth)
    seen = counts / counts.sum()
    chance = float((worth * np.outer(seen.sum(axis=1), seen.sum(axis=0))).sum())
    of_patients = np.ones(int(counts.sum()))
    if patients is not None:
        each = np.asarray(patients, dtype=np.float64)
        of_patients = each.sum(axis=(1, 2))
        left = [_cohen_with_errors(counts - one, worth)[0] for one in each]
        sd, null_sd = _sd_of_left_out(np.array(left)), float("nan")
    low, high = _interval(value, sd, chance, of_patients, 2, confidence)
    return Kappa(
        kind="Cohen, linear weights" if weighted else "Cohen",
        value=value,
        sd=sd,
        null_sd=null_sd,
        low=low,
        high=high,
        confidence=confidence,
    )


def fleiss(
    counts: ArrayLike, *, patient: ArrayLike | None = None, confidence: float = CONFIDENCE
) -> Kappa:
    """Fleiss' kappa of several raters; its interval by leaving out one image or patient at a time.

    Parameters
    ----------
    counts : (S, G) array_like of int
        How many raters gave image s grade g; every image by as many raters.
    patient : (S,) array_like, optional
        Whose image each is, where some patients have several.
    """
    table = np.asarray(counts, dtype=np.int64)
    if len(table) < 2 or table.sum(axis=1).min() < 2:
        problem = "fewer than two images or raters are left"
        raise TooFewRatingsError(problem)
    if (table.sum(axis=0) > 0).sum() < 2:
        problem = "only one grade was ever given"
        raise TooFewRatingsError(problem)
    value = _fleiss(table)
    whose = np.arange(len(table)) if patient is None else np.unique(patient, return_inverse=True)[1]
    sd = _sd_of_left_out(_fleiss_without_one(table, whose))
    chance = float(((table.sum(axis=0) / table.sum()) ** 2).sum())
    of_patients = np.bincount(whose).astype(np.float64)
    low, high = _interval(value, sd, chance, of_patients, int(table[0].sum()), confidence)
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
    value: float, sd: float, chance: float, of_patients: Floats, raters: int, confidence: float
) -> tuple[float, float]:
    """Ends of kappa's interval: Wilson's of the share alike, of as many images as ``sd`` says.

    Where all are alike the standard error is nothing and says nothing: then of all images, those of
    a patient as alike as films usually are. So few images that happen to agree wholly are not taken
    for proof. ``of_patients``: how many images each patient has, (P,).
    """
    share, error = value * (1.0 - chance) + chance, sd * (1.0 - chance)
    patients, images = len(of_patients), float(of_patients.sum())
    usual = 1.0 + USUAL_CORRELATION * (float((of_patients**2).sum()) / images - 1.0)
    worth = images / usual
    if 1e-9 < share < 1.0 - 1e-9:
        plain = share * (1.0 - share)
        # Of raters taken two and two, none of them twice.
        alone = plain * usual / (images * (raters // 2))
        variance = (patients * error**2 + PLAIN_IMAGES * alone) / (patients + PLAIN_IMAGES)
        worth = plain / variance
    effect = DesignEffect(value=np.array(1.0), freedom=np.array(patients - 1.0))
    low, high = wilson(share * worth, worth, confidence=confidence, design_effect=effect)
    least, most = ((float(end) - chance) / (1.0 - chance) for end in (low, high))
    return max(least, -1.0), min(most, 1.0)


def percent_agreement(table: ArrayLike, *, design_effect: DesignEffect | float = 1.0) -> Share:
    """Images two raters graded alike, of a table (G, G).

    Told beside kappa, which falls when nearly all images have one grade.
    """
    counts = _square(table)
    return share_of(int(np.trace(counts)), int(counts.sum()), design_effect=design_effect)


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


def _fleiss_without_one(table: NDArray[np.int64], whose: NDArray[np.int64]) -> Floats:
    """Kappa with each patient's images left out in turn, (P,); whose each image is, (S,)."""
    raters = table.sum(axis=1)
    alike = (table * (table - 1)).sum(axis=1) / (raters * (raters - 1))
    images = len(table) - np.bincount(whose)
    given = np.zeros((len(images), table.shape[1]), dtype=np.int64)
    np.add.at(given, whose, table)
    with np.errstate(divide="ignore", invalid="ignore"):
        mean = (alike.sum() - np.bincount(whose, weights=alike)) / images
    left = table.sum(axis=0) - given
    chance = ((left / left.sum(axis=1, keepdims=True)) ** 2).sum(axis=1)
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.asarray((mean - chance) / (1 - chance), dtype=np.float64)


def _sd_of_left_out(values: Floats) -> float:
    """Standard error of a value from what it is with each image, or patient, left out, (P,).

    Source: Tukey JW, Ann Math Stat 1958;29:614 (from memory).
    """
    known = values[np.isfinite(values)]
    parts = len(known)
    return float(np.sqrt((parts - 1) / parts * ((known - known.mean()) ** 2).sum()))


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

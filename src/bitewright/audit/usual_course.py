"""The rate that a record without a change would have at each step, known courses allowed for."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import expit, logit

from bitewright.audit.binomial_regression import binomial_regression
from bitewright.audit.dated_change import LEAST_EVENTS, Series
from bitewright.audit.known_courses import with_events, with_own_say

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class UsualCourse:
    """A record's usual rate when nothing changes but what is known to.

    Parameters
    ----------
    rates : (G,) float array
        At each step.
    design : (G, P) float array
        A column of ones, and those of the courses that can be allowed for.
    coefficients : (P,) float array
        Of the log odds.
    totals : (G,) float array
        Exposures at each step.
    used : tuple of bool
        Whether each of the record's courses is among them.
    """

    rates: Floats
    design: Floats
    coefficients: Floats
    totals: Floats
    used: tuple[bool, ...]

    @property
    def has_courses(self) -> bool:
        """Whether anything but chance moves the rate."""
        return bool(self.design.shape[1] > 1)

    def gains(self, counts: Floats, inside: slice) -> Floats:
        """Rao's score statistic of a step before each week inside, (..., S), courses taken out.

        Counts are (..., G). Like twice the gain in log likelihood, for small steps.

        Source: Rao CR, Proc Camb Phil Soc 1948;44:50-7 (from memory).
        """
        steps = len(self.totals)
        after = np.tril(np.ones((steps, steps)))[:, 1:][:, inside]
        weight = self._weight()
        told = self._pull(weight[:, None] * after)
        own = after - self.design @ told
        variance = (weight[:, None] * own**2).sum(axis=0)
        whole = (weight[:, None] * (after - np.average(after, axis=0, weights=weight)) ** 2).sum(0)
        score = (counts - self.totals * self.rates) @ own
        # A step that the courses tell as well gains nothing.
        clear = variance > 0.01 * whole
        gained = score**2 / np.where(clear, variance, 1.0) * clear
        return np.asarray(gained, dtype=np.float64)

    def usual_after(self, counts: Floats, reference: int, base: Floats) -> Floats:
        """Usual rates (..., G) of records with these counts (..., G), as their first steps go on.

        ``base``: rate of the first ``reference`` steps of each record, (...,). The courses are
        fitted to each whole record, in one step from this one's.
        """
        left = (counts - self.totals * self.rates) @ self.design
        moved = left @ np.linalg.inv(self._information())
        offset = (self.coefficients + moved)[..., 1:] @ self.design[:, 1:].T
        first = self.totals[:reference] / self.totals[:reference].sum()
        beside = offset - (offset[..., :reference] @ first)[..., None]
        return np.asarray(expit(logit(base)[..., None] + beside), dtype=np.float64)

    def _weight(self) -> Floats:
        return self.totals * self.rates * (1.0 - self.rates)

    def _information(self) -> Floats:
        return np.asarray(self.design.T @ (self._weight()[:, None] * self.design))

    def _pull(self, right: Floats) -> Floats:
        return np.asarray(np.linalg.solve(self._information(), self.design.T @ right))


def usual_course(series: Series) -> UsualCourse:
    """The likeliest usual course of a stretch of a record.

    Where courses can't be told apart, or events are too few to fit them, they are left out.
    """
    counts, totals = series.counts, series.totals
    ones = np.ones((len(totals), 1))
    design = ones
    usable = np.zeros(0, dtype=np.bool_)
    if series.courses is not None:
        usable = with_events(series.courses, counts, totals, LEAST_EVENTS)
        usable &= with_own_say(series.courses, ones, totals)
        design = np.column_stack([ones, series.courses[:, usable]])
    fitted = binomial_regression(design, counts, totals) if design.shape[1] > 1 else None
    if fitted is None:
        share = (counts.sum() + 0.5) / (totals.sum() + 1.0)
        return UsualCourse(
            rates=np.full(len(totals), share),
            design=ones,
            coefficients=np.array([logit(share)]),
            totals=totals,
            used=(False,) * len(usable),
        )
    return UsualCourse(
        rates=np.asarray(expit(design @ fitted.coefficients)),
        design=design,
        coefficients=fitted.coefficients,
        totals=totals,
        used=tuple(bool(each) for each in usable),
    )


def usual_rates(series: Series, phase: NDArray[np.int64]) -> Floats | None:
    """Rate of each stretch (G,), when each phase has its own and known courses move it.

    ``phase``: which each stretch lies in, (G,). None where no course can be allowed for.
    """
    if series.courses is None:
        return None
    counts, totals = series.counts, series.totals
    of_phase = (phase[:, None] == np.unique(phase)).astype(np.float64)
    usable = with_events(series.courses, counts, totals, LEAST_EVENTS)
    usable &= with_own_say(series.courses, of_phase, totals)
    if not usable.any():
        return None
    design = np.column_stack([of_phase, series.courses[:, usable]])
    fitted = binomial_regression(design, counts, totals)
    return None if fitted is None else np.asarray(expit(design @ fitted.coefficients))


__all__ = ["UsualCourse", "usual_course", "usual_rates"]

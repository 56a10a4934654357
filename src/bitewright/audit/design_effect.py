"""By how much exposures of one case are worth less than as many of as many cases.

Exposures of one patient's visit come out alike: the same mouth, hands and holder. How alike is
estimated once for an event in a record, as a correlation within cases, drawn towards a usual one
as far as the record itself says little; from it follows the design effect of any exposures of that
record, and with it every interval, verdict, funnel and chart.

Sources: Kish L, Survey Sampling, Wiley 1965 (design effect, from memory); Buhlmann H, Astin Bull
1967;4:199-207 (drawn towards the usual by the doubts of both, from memory); Satterthwaite FE,
Biometrics Bull 1946;2:110-4 (degrees of freedom of a variance that is itself in doubt, from
memory); Skellam JG, J R Stat Soc B 1948;10:257-61 (the beta-binomial distribution, from memory).
"""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bitewright.audit.cases import Cases, Codes, cases_of

Floats = NDArray[np.float64]

USUAL_CORRELATION = 0.3
"""Correlation within a case where a record says nothing of it. Our choice, on the careful side: no
published figure for rejects of intraoral films is known to us."""
CORRELATION_SD = 0.2
"""How far records are taken to lie from it. Our choice: so records from 0 to 0.7 are not odd."""
MOST_CORRELATED = 0.99


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class DesignEffect:
    """What clustering in cases does to the intervals of G shares, (G,) arrays, or of one, ().

    Parameters
    ----------
    value : float array
        Variance of the share over that of as many independent exposures; 1 or more.
    freedom : float array
        Degrees of freedom of Student's t that its own doubt leaves; infinite where there is none.
    lean : float array
        How much more the count leans to one side than that of independent exposures does: third
        moment over variance, in units of the binomial distribution's own, less its 1.
    """

    value: Floats
    freedom: Floats = field(default_factory=lambda: np.array(np.inf))
    lean: Floats = field(default_factory=lambda: np.array(0.0))

    def times(self, widening: float) -> "DesignEffect":
        """The same with other variation beyond chance on top, as a variance ratio."""
        return DesignEffect(value=self.value * widening, freedom=self.freedom, lean=self.lean)


@dataclass(frozen=True, slots=True, kw_only=True)
class Likeness:
    """How alike the exposures of a case are in one event.

    Parameters
    ----------
    correlation : float
        Within cases, 0 to 1, drawn towards `USUAL_CORRELATION`.
    sd : float
        Its standard uncertainty.
    cases : int
        Cases with an exposure; exposures whose case is not given are not among them.
    not_given : int
        Exposures whose case is not given: each is taken to stand alone.
    """

    correlation: float
    sd: float
    cases: int
    not_given: int

    def design_effect(self, case: Codes | Cases) -> DesignEffect:
        """Of the share of some exposures, whose cases these are, (E,), -1 where not given."""
        return self.effect_beside(cases_of(case).others)

    def design_effects(self, case: Codes | Cases, group: Codes, groups: int) -> DesignEffect:
        """Of the shares of G groups, (G,); the cases (E,) and groups (E,) of all exposures.

        Exposures of no group have -1.
        """
        return self.effect_beside(cases_of(case).others_within(group, groups))

    def effect_beside(self, others: ArrayLike) -> DesignEffect:
        """Where an exposure has so many others of its case and group beside it, on average, (G,).

        1 + (m - 1) times the correlation, m being the size of the case that an exposure lies in.

        Source: Kish L, Survey Sampling, Wiley 1965 (from memory).
        """
        beside = np.asarray(others, dtype=np.float64)
        value = 1.0 + beside * self.correlation
        # The doubt of a variance, as a share of it, is the root of 2 over its degrees of freedom.
        doubt = np.maximum((beside * self.sd / value) ** 2, 1e-12)
        return DesignEffect(
            value=value,
            freedom=np.where(beside > 1e-9, 2.0 / doubt, np.inf),
            # Of a beta-binomial count of m with correlation r: 1 + 2 (m - 1) r / (1 + r).
            lean=2.0 * (value - 1.0) / (1.0 + self.correlation),
        )


INDEPENDENT = Likeness(correlation=0.0, sd=0.0, cases=0, not_given=0)
"""Of exposures that stand alone."""


def likeness_of(events: NDArray[np.bool_], case: Codes | Cases) -> Likeness:
    """How alike exposures of a case are in an event, from E exposures, (E,) each.

    The mean product of two exposures' departures from the common share, over all pairs within
    cases, weighted with the usual correlation by the doubts of both. The doubt of the record's own
    is what it would be at the usual correlation, pairs of one case taken to be fully alike.

    Source: Buhlmann H, Astin Bull 1967;4:199-207 (from memory).
    """
    cases = cases_of(case)
    there = cases.sizes > 0
    size = cases.sizes[there]
    usual = Likeness(
        correlation=USUAL_CORRELATION,
        sd=CORRELATION_SD,
        cases=len(size),
        not_given=cases.not_given,
    )
    if not len(size):
        return usual
    hits = cases.hits(events)[there]
    pairs = size * (size - 1.0)
    share = float(hits.sum() / size.sum())
    if not pairs.sum() or not 0.0 < share < 1.0:
        return usual
    chance = share * (1.0 - share)
    own = ((hits - size * share) ** 2 - size * chance).sum() / (pairs.sum() * chance)
    doubt = _product_variance(share) * float((pairs**2).sum() / pairs.sum() ** 2)
    weight = CORRELATION_SD**2 / (CORRELATION_SD**2 + doubt)
    correlation = weight * own + (1.0 - weight) * USUAL_CORRELATION
    return Likeness(
        correlation=float(np.clip(correlation, 0.0, MOST_CORRELATED)),
        sd=float(CORRELATION_SD * np.sqrt(1.0 - weight)),
        cases=usual.cases,
        not_given=usual.not_given,
    )


def _product_variance(share: float) -> float:
    """Variance of the product of two standardised exposures of a case, usually correlated."""
    p, q, r = share, 1.0 - share, USUAL_CORRELATION
    both, one, neither = p * p + r * p * q, (1.0 - r) * p * q, q * q + r * p * q
    square = both * q**4 + 2.0 * one * (p * q) ** 2 + neither * p**4
    return square / (p * q) ** 2 - r * r


__all__ = [
    "CORRELATION_SD",
    "INDEPENDENT",
    "USUAL_CORRELATION",
    "DesignEffect",
    "Likeness",
    "likeness_of",
]

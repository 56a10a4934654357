"""Marks and mouths that are unusual: how much wider intervals are, and where no amount is told."""

from collections.abc import Mapping

import numpy as np

from bitewright.estimation.estimate import Estimate
from bitewright.explanation.correction import Part

UNLIKE, MISFIT_WEIGHT = 0.6, 0.5
"""Unlikeness of the mouth and so many times the logarithm of the marks' misfit, above which they
are unlike those the estimate was made for: so that one film in twenty-five of real crowns of two
fitting runs (960 and 961) is."""

LEAST_MISFIT = 1e-3
"""Marks that fit better, as when there are hardly any, count as these."""

UNLIKE_KNOWN = 1.65
"""Misfit of the marks above which they are unlike a mouth that is known. Our choice."""

USUAL_MISFIT_AND_MOUTH = 0.6
"""Product of misfit and strangeness, above which intervals widen by its square root: a mouth that
is unusual in what a film shows is likely so in what it does not show (as of a common scale that is
not known, in Student's t). About the median of films of a fitting run."""

AT_ITS_BOUND = 0.9
"""Share of the furthest that a mouth allows, from which an amount is not believed. Such an interval
of the swing, the vertical angle or the receptor along the row held the truth on 5 of 18 of 2,544
simulated films, such a one of the height on 13 of 15. Our choice."""


def widening(found: Estimate) -> float:
    """How many times as wide an unusual mouth or unusual marks make all intervals."""
    return float(np.sqrt(max(found.misfit * found.strangeness / USUAL_MISFIT_AND_MOUTH, 1.0)))


def unlike(found: Estimate) -> bool:
    """Whether marks or mouth are unlike those the estimate was made for."""
    if not found.shapes.along:
        return found.misfit > UNLIKE_KNOWN
    misfit = max(found.misfit, LEAST_MISFIT)
    return found.unlikeness + MISFIT_WEIGHT * float(np.log(misfit)) > UNLIKE


def is_at_its_bound(values: Mapping[Part, float], furthest: Mapping[Part, float]) -> bool:
    """Whether an amount but the height's is next to the furthest that a mouth allows. [deg, mm]"""
    return any(
        abs(value) >= AT_ITS_BOUND * furthest[part]
        for part, value in values.items()
        if part is not Part.HEIGHT
    )


__all__ = ["is_at_its_bound", "unlike", "widening"]

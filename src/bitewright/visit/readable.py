"""How likely a surface can be read on a film, and on any of several, given how sure marks are.

Model, as `marking.rating_chances`: an overlap is normal about what was measured, times how wide
a film's contacts overlap together (`marking.film_overlaps`); the enamel has a spread of its own.
Here it is worked out, not drawn: the order of films changes nothing, and a film added takes
nothing away. The enamel is the same on all films; what marks leave open is each film's own.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri

from bitewright.marking.rating_chances import PRIOR
from bitewright.visit.film_evidence import Shown, SiteEvidence

Floats = NDArray[np.float64]

STEPS = 60
ENAMEL = 1.0 + PRIOR.enamel.sd_share * ndtri((np.arange(STEPS) + 0.5) / STEPS)
"""Enamel over its usual thickness, in steps that are equally likely, (STEPS,)."""


def readable_chance(of: SiteEvidence, unreadable_share: float) -> float | None:
    """How likely a surface or crest can be read on one film; None where the film tells nothing."""
    if of.shown in (Shown.NOT_MARKED, Shown.NOT_TAKEN):
        return None
    return float(_by_enamel(of, unreadable_share).mean())


def chance_somewhere(each: Sequence[SiteEvidence], unreadable_share: float) -> float:
    """How likely it can be read on at least one of several films."""
    nowhere = np.ones(STEPS)
    for chances in sorted(_by_enamel(of, unreadable_share).tolist() for of in each):
        nowhere = nowhere * (1.0 - np.array(chances))
    return float(1.0 - nowhere.mean())


def _by_enamel(of: SiteEvidence, unreadable_share: float) -> Floats:
    """How likely it can be read, for each thickness of enamel, (STEPS,)."""
    if of.shown is not Shown.SEEN:
        return np.zeros(STEPS)
    if of.overlaps is None or not np.isfinite(unreadable_share):
        return np.ones(STEPS)
    return of.overlaps.chance_within(of.contact, unreadable_share * of.enamel_mm * ENAMEL)


__all__ = ["chance_somewhere", "readable_chance"]

"""How far off an exposure may be: marks that say more fit none."""

from collections.abc import Mapping

from bitewright.estimation.estimate import Estimate
from bitewright.explanation.correction import Part

FURTHEST = {
    Part.SWING: 40.0,
    Part.VERTICAL: 25.0,
    Part.FORWARD: 18.0,
    Part.HEIGHT: 9.0,
    Part.TURN: 40.0,
    Part.TILT: 35.0,
    Part.ROLL: 25.0,
    Part.CLOSURE: 15.0,
}
"""No exposure is likely further off than this, and what is told so in a mouth that is not known is
rather the marks'. Our choice. [deg, mm]"""

HOPELESS_MISFIT = 4.0
"""Marks that misfit more fit no exposure of any mouth. Our choice."""


def is_hopeless(found: Estimate, amounts: Mapping[Part, float]) -> bool:
    """Whether marks fit no exposure, by how they misfit and how far off it would be. [deg, mm]

    In a mouth that is known the fit alone says so.
    """
    is_far = any(abs(amount) > FURTHEST[part] for part, amount in amounts.items())
    return found.misfit > HOPELESS_MISFIT or (bool(found.shapes.along) and is_far)


__all__ = ["FURTHEST", "HOPELESS_MISFIT", "is_hopeless"]

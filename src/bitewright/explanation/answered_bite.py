"""What is told of the teeth's closing once somebody said whether they touched the bite block."""

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from bitewright.explanation.chairside_answers import Answers, ChairsideQuestion
from bitewright.explanation.chairside_questions import yes_chances
from bitewright.explanation.correction import Estimated, Need, Part
from bitewright.explanation.likeliest_faults import FaultStates
from bitewright.explanation.needs import WORTH

Floats = NDArray[np.float64]

OUTWEIGHED = 0.5
"""An answer that is still less likely than this once it was weighed stands against the marks. Our
choice."""


def stands_against_marks(
    answers: Answers, states: FaultStates, likely: Floats | None, closing: Estimated
) -> bool:
    """Whether the marks contradict so strongly what was said of the bite that it does not hold.

    Parameters
    ----------
    answers : Answers
    states : FaultStates
    likely : (S,) float array or None
        As `foresaw` gives it of the answers.
    closing : Estimated
        The teeth closing further, as it is told with the answers: what is said agrees with it. [mm]
    """
    touched = answers.get(ChairsideQuestion.BITE)
    if touched is None or likely is None or touched is not (closing.value >= WORTH[Part.CLOSURE]):
        return False
    after = states.chance * likely
    yes = float(after @ yes_chances(states, ChairsideQuestion.BITE) / after.sum())
    return (yes if touched else 1.0 - yes) < OUTWEIGHED


def without_closing(
    amounts: Mapping[Part, Estimated], needs: dict[Part, Need]
) -> dict[Part, Estimated]:
    """Tell nobody to close teeth that touched the bite block.

    Changes ``needs``, and returns the other movements, which are the hand's then. [deg, mm]
    """
    needs[Part.CLOSURE] = Need.STAY
    return {part: amount for part, amount in amounts.items() if part is not Part.CLOSURE}


__all__ = ["stands_against_marks", "without_closing"]

"""A belief about mouths that may have lost bone and teeth, beside the population's that have not.

Bone falls by millimetres where it is lost, and crowns beside a lost tooth drift and tip into its
gap (`mouth.lost_teeth`): ways in which the population's mouths differ little. Every figure here is
our choice.
"""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from bitewright.estimation.mouth_belief import MouthBelief
from bitewright.estimation.mouth_prior import Direction
from bitewright.mouth.tooth_forms import is_upper

BONE_TIMES = 4.0
"""Crests lie so many times as various where bone is lost: by some 2 mm over a mouth."""

GAP_TIMES = 3.0
"""So many times as various is how much of a lost tooth's space is left: by some two tenths."""

BESIDE_TIMES = 2.0
BESIDE = ("tip_deg", "rotation_deg")
"""Its neighbours' leaning and turning."""

CRESTS = ("crest_mm", "crest_mesial_mm", "crest_distal_mm")


def with_losses(belief: MouthBelief, lost: Sequence[int]) -> MouthBelief:
    """The same belief, crests and what stands beside lost teeth believed to differ more.

    Parameters
    ----------
    belief : MouthBelief
    lost : sequence of int
        ISO 3950 codes.
    """
    gaps = [(is_upper(code), code % 10) for code in lost]
    times = np.array([_times(each, gaps) for each in belief.along])
    return replace(belief, covariance=belief.covariance * np.outer(times, times))


def _times(direction: Direction, gaps: Sequence[tuple[bool, int]]) -> float:
    if direction.what in CRESTS:
        return BONE_TIMES
    for upper, place in gaps:
        if direction.upper is not upper or direction.place is None:
            continue
        if direction.what == "size" and direction.place == place:
            return GAP_TIMES
        if direction.what in BESIDE and abs(direction.place - place) == 1:
            return BESIDE_TIMES
    return 1.0


__all__ = ["with_losses"]

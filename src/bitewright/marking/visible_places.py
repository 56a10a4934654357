"""Where a film shows a landmark, and where the model has it: one definition, used both ways.

A person marks what the film shows: the end of a crown's grey, the corner of the bone, the top of a
cusp's outline. The model has the crown's edge, the bone at the root's surface and the cusp's tip.
"""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from bitewright.exposing.ways_on_receptor import outward_sign, rootward_sign
from bitewright.figure_tables import figures_of
from bitewright.mouth.landmark_names import CuspLandmark, Feature, parse_landmark

Floats = NDArray[np.float64]


class Off(NamedTuple):
    """How far off a place is seen, on the receptor. [mm]"""

    outward_mm: float
    rootward_mm: float


class VisiblePlaces(NamedTuple):
    """How far off each kind of landmark is seen; others are seen where they are."""

    edge: Off
    crest: Off
    cusp: Off


VISIBLE = figures_of(VisiblePlaces, "bitewright.marking", "visible_places")
NOWHERE_ELSE = Off(0.0, 0.0)


def seen_off_mm(names: Sequence[str], front_sign: float) -> Floats:
    """From where the model has each landmark to where a film shows it, (L, 2): u and v. [mm]

    Parameters
    ----------
    names : sequence of L str
    front_sign : float
        +1 where the front of the mouth lies to the viewer's right, else -1.

    Raises
    ------
    UnknownLandmarkError, UnknownToothError
    """
    return np.array([_off(name, front_sign) for name in names]).reshape(-1, 2)


def _off(name: str, front_sign: float) -> tuple[float, float]:
    landmark = parse_landmark(name)
    rootward = rootward_sign(name)
    if isinstance(landmark, CuspLandmark):
        return 0.0, rootward * VISIBLE.cusp.rootward_mm
    off = {Feature.OUTLINE: VISIBLE.edge, Feature.CREST: VISIBLE.crest}.get(
        landmark.feature, NOWHERE_ELSE
    )
    return outward_sign(name, front_sign) * off.outward_mm, rootward * off.rootward_mm


__all__ = ["VISIBLE", "seen_off_mm"]

"""Spaces of missing teeth that have closed in part: a mouth that the estimate does not know.

It knows rows that keep a space and rows that have closed it. Taken for mouths that keep it, films
of closed rows told the same swing wherever the tube stood: 15 to 18 degrees to the front with first
premolars gone, 13 to 16 to the back with a first molar gone, on six simulated films swung 10
degrees one way and the other.
"""

from itertools import pairwise

import numpy as np

from bitewright.estimation.estimate import Estimate
from bitewright.exposing.landmarks import Landmarks, Status
from bitewright.marking.marked_landmarks import MAGNIFICATION
from bitewright.mouth.mouth import Mouth

CLOSED_SHARE = 0.5
"""A space narrower than this share of the missing teeth's widths has closed. Our choice."""


def partly_closed(found: Estimate, *, film: int = 0) -> tuple[str, ...]:
    """Pairs of teeth, as "13-15", that stand together where the estimate keeps a tooth's space.

    None in a mouth that is known.

    Parameters
    ----------
    found : Estimate
    film : int
        Which of the estimate's.
    """
    if not found.shapes.along:
        return ()
    evidence = found.films[film]
    return closed_between(evidence.landmarks, evidence.station.outlines.mouth)


def closed_between(marked: Landmarks, mouth: Mouth) -> tuple[str, ...]:
    """As `partly_closed`, by the marks of one film and the mouth that is believed before them."""
    found = []
    for quadrant in (1, 2, 3, 4):
        own = sorted(code for code in mouth.teeth if code // 10 == quadrant)
        present = [code for code in own if mouth.teeth[code].present]
        for front, back in pairwise(present):
            gone = [mouth.teeth[code] for code in own if front < code < back]
            kept_mm = sum(tooth.md_crown_mm for tooth in gone)
            if gone and _space_mm(marked, front, back) < CLOSED_SHARE * kept_mm:
                found.append(f"{front}-{back}")
    return tuple(found)


def _space_mm(marked: Landmarks, front: int, back: int) -> float:
    """Between two teeth, as marked; endless where one side is not. [object mm]"""
    names = f"{front}.distal", f"{back}.mesial"
    if any(marked.status_of(name)[0] != Status.SEEN for name in names):
        return np.inf
    here, there = (marked.points(name)[0, 0] for name in names)
    return float((here - there) * marked.front_sign / MAGNIFICATION)


__all__ = ["closed_between", "partly_closed"]

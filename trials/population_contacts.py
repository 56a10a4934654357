"""In which direction neighbours of the population are open: from their crowns' points alone.

Seen from above a crown is its convex outline; a contact is open where two outlines overlap least,
as the silhouettes of level beams do, whatever height they meet at (within 2 degrees for the mean
crowns).
"""

import numpy as np
from numpy.typing import NDArray

from bitewright.mouth.open_direction import across_beams, box_middle
from bitewright.mouth.outlines import Outlines
from bitewright.mouth.tooth_forms import is_right
from trials.crown_population import CrownPopulation

Floats = NDArray[np.float64]
Pair = tuple[int, int]

AZIMUTHS_DEG = np.arange(-45.0, 90.01, 0.5)
BACK_PAIRS: tuple[Pair, ...] = tuple(
    (10 * quadrant + place, 10 * quadrant + place + 1)
    for quadrant in (1, 2, 3, 4)
    for place in range(3, 7)
)
"""Neighbours from the canine to the second molar."""

EVERY_PAIR: tuple[Pair, ...] = tuple(
    (10 * quadrant + place, 10 * quadrant + place + 1)
    for quadrant in (1, 2, 3, 4)
    for place in range(1, 7)
)


def open_deg(front: Floats, back: Floats, *, right: bool) -> float:
    """Azimuth at which the outlines of two neighbours (n, 2), (m, 2) overlap least. [deg]"""
    along = across_beams(AZIMUTHS_DEG, right=right)[:, :2].T
    overlap = (back @ along).max(axis=0) - (front @ along).min(axis=0)
    return float(AZIMUTHS_DEG[int(overlap.argmin())])


def mean_open_deg(population: CrownPopulation, pair: Pair) -> float:
    """Where the mean crowns of a pair are open at their mean places. [deg]"""
    front, back = (population.mean_mouth[population.codes.index(code)][:, :2] for code in pair)
    return open_deg(front, back, right=is_right(pair[0]))


def crown_in_place(outlines: Outlines, code: int, crowns_tooth: Floats, size: float) -> Floats:
    """A crown's points seen from above, (P, 2), where a mouth's outlines have that tooth. [mm]

    Its middle comes to the outlines' crown's middle, turned as that.
    """
    row = outlines.row[code]
    mesial = outlines.axes_mouth[row, 0, :2]
    mesial = mesial / np.hypot(*mesial)
    buccal = np.array([mesial[1], -mesial[0]])
    buccal *= np.sign(buccal @ outlines.axes_mouth[row, 1, :2])
    level = size * (crowns_tooth[:, :2] - box_middle(crowns_tooth[:, :2]))
    placed = level @ np.stack([mesial, buccal]) + outlines.crown_middle_mouth(code)[:2]
    return np.asarray(placed)


def drawn_open_deg(
    population: CrownPopulation, outlines: Outlines, seed: int, pairs: tuple[Pair, ...] = BACK_PAIRS
) -> dict[Pair, float]:
    """Where real crowns, drawn by a seed, are open where a mouth's teeth stand. [deg]"""
    placed = {}
    for code in sorted({code for pair in pairs for code in pair if code in outlines.row}):
        scores = np.random.default_rng([seed, code]).standard_normal((1, 30))
        crown = population.crowns_tooth(code, scores)[0]
        width = np.ptp(crown[:, 0])
        size = outlines.mouth.teeth[code].md_crown_mm / width
        size = float(np.clip(size, 0.85, 1.15))
        placed[code] = crown_in_place(outlines, code, crown, size)
    return {
        pair: open_deg(placed[pair[0]], placed[pair[1]], right=is_right(pair[0]))
        for pair in pairs
        if pair[0] in placed and pair[1] in placed
    }


__all__ = [
    "AZIMUTHS_DEG",
    "BACK_PAIRS",
    "EVERY_PAIR",
    "crown_in_place",
    "drawn_open_deg",
    "mean_open_deg",
    "open_deg",
]

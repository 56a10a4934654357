"""How far the network sets edges outward on a film that is blurred, and inward on one that is not.

Measured on 42 simulated films of 7 mouths never learnt from, blurred by 0 to 0.25 mm: the blurrer a
film, the further outward both edges of a contact came to lie, so that overlaps came out wider.
Judged on films of other mouths (docs/proposed-marks.md).
"""

from collections.abc import Sequence

import numpy as np

FEWEST = 4
"""Borders that tell how sharp a film is. Our choice."""

QUANTILE = 0.25
"""The film's own border is as wide as the sharper ones of its crowns': a slow fall inside enamel is
wider. Of three quantiles tried this told most."""

TRUE_WIDTH_MM = 0.18
"""At this width edges lie right."""

OUTWARD_PER_MM = 0.11
"""So much further out an edge lies where borders are a millimetre wider."""

MOST_WIDTH_MM = 0.6
"""Wider ones were not measured, and count as so wide."""


def outward_off_mm(widths_mm: Sequence[float]) -> float:
    """How far outward a film's edges are set too far, by the widths of its crowns' borders. [mm]

    Negative where they are set too far inward; nought where too few borders tell. ``widths_mm``: at
    half the height of the steepest fall, smoothed as `bitewright.marking.crown_edge` does.
    """
    if len(widths_mm) < FEWEST:
        return 0.0
    width_mm = min(float(np.quantile(widths_mm, QUANTILE)), MOST_WIDTH_MM)
    return OUTWARD_PER_MM * (width_mm - TRUE_WIDTH_MM)


__all__ = ["outward_off_mm"]

"""Whether a film is shown as its negative: teeth dark, the spaces between them bright."""

import itertools

import numpy as np
from numpy.typing import NDArray

from bitewright.proposing.channels import KINDS, PLACES, TOOTH_COUNT
from bitewright.proposing.heat_maps import HeatReading
from bitewright.proposing.square import SIDE_PX, FilmOnSquare

Floats = NDArray[np.float64]

LIKELY = 0.5
PATCH_PX = 3
"""Half the side of the patches whose grey is compared. Our choice."""

INSIDE_PX = 10.0
"""How far inside its edge a crown's grey is taken: a millimetre, in the enamel. Our choice."""

FEWEST = 2
"""With fewer spaces between teeth nothing is said of the tone. Our choice."""

MESIAL, DISTAL = KINDS.index("mesial"), KINDS.index("distal")
MESIAL_JUNCTION, DISTAL_JUNCTION = KINDS.index("mesial.cej"), KINDS.index("distal.cej")


def is_negative(film: FilmOnSquare, read: HeatReading) -> bool:
    """Whether crowns are darker than the space between their necks, at most of the contacts.

    On a radiograph as it is usually shown, what takes up more of the beam is brighter: enamel and
    dentine against soft tissue. Parameters as `proposals`.
    """
    places = read.places_px.reshape(TOOTH_COUNT, len(KINDS), 2)
    there = read.presence.reshape(TOOTH_COUNT, len(KINDS)) > LIKELY
    to_front = np.array([INSIDE_PX if read.front_left <= LIKELY else -INSIDE_PX, 0.0])
    brighter = []
    for front, back in itertools.pairwise(range(TOOTH_COUNT)):
        if back % len(PLACES) == 0:  # the other arch
            continue
        ends = ((front, DISTAL, DISTAL_JUNCTION), (back, MESIAL, MESIAL_JUNCTION))
        if not all(there[row, edge] and there[row, neck] for row, edge, neck in ends):
            continue
        crowns = [
            _grey(film, places[row, edge] + inwards)
            for (row, edge, _), inwards in zip(ends, (to_front, -to_front), strict=True)
        ]
        necks = np.mean([places[row, neck] for row, _, neck in ends], axis=0)
        brighter.append(float(np.mean(crowns)) - _grey(film, necks))
    return len(brighter) >= FEWEST and float(np.median(brighter)) < 0.0


def _grey(film: FilmOnSquare, place_px: Floats) -> float:
    """Mean grey about a place on the square."""
    column, row = np.clip(np.round(place_px - 0.5), 0, SIDE_PX - 1).astype(int)
    low_row, low_column = max(row - PATCH_PX, 0), max(column - PATCH_PX, 0)
    return float(film.grey[low_row : row + PATCH_PX + 1, low_column : column + PATCH_PX + 1].mean())


__all__ = ["is_negative"]

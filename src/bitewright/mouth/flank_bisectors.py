"""Where the flanks of neighbours face each other before they meet: their middles and bisectors."""

import numpy as np
from numpy.typing import NDArray

from bitewright.compiled import compiled
from bitewright.mouth.crown_sections import HEIGHT_STEP_MM

Floats = NDArray[np.float64]

MESIAL, DISTAL = 0, 1


@compiled
def flank_bisectors(
    origins: Floats,
    axes: Floats,
    is_right: NDArray[np.bool_],
    lowest: Floats,
    table: Floats,
    turns: Floats,
    contact: Floats,
) -> tuple[Floats, Floats]:
    """Midway between the flanks of each two neighbours, and the horizontal direction between them.

    Parameters
    ----------
    origins, axes : (T, 3) and (T, 3, 3) float arrays
        Local origins [mm] and axes (rows: mesial, buccal, occlusal) of teeth from right to left.
    is_right : (T,) bool array
    lowest, table, contact : float arrays
        As `CrownSections.lowest_mm`, `table` and `contact_mm`.
    turns : (T, 2) float array
        Shear and taper, as `CrownSections`.

    Returns
    -------
    two (T - 1, 3) float arrays
        Points [mm], and unit directions towards the patient's left.
    """
    count = len(origins) - 1
    points, normals = np.zeros((count, 3)), np.zeros((count, 3))
    for c in range(count):
        for k in range(2):
            tooth = c + k
            way = 1.0 if is_right[tooth] else -1.0
            # The right tooth of the pair faces left, the left one faces right.
            side = MESIAL if is_right[tooth] == (k == 0) else DISTAL
            half = _add_flank_middle(points[c], tooth, side, origins, axes, lowest, table, contact)
            # A turned flank faces across its turn, not along its crown's own axis.
            turn = turns[tooth, 0] + half * turns[tooth, 1]
            across = way * (axes[tooth, 0] - turn * axes[tooth, 1])
            normals[c] += across / np.sqrt((across**2).sum())
        normals[c, 2] = 0.0
        normals[c] /= np.sqrt((normals[c] ** 2).sum())
    return points, normals


@compiled
def _add_flank_middle(
    point: Floats,
    tooth: int,
    side: int,
    origins: Floats,
    axes: Floats,
    lowest: Floats,
    table: Floats,
    contact: Floats,
) -> float:
    """Add half of a flank's middle, at the height of its contact, to a point; its half-width."""
    height = contact[tooth, side]
    place = min(max((height - lowest[tooth]) / HEIGHT_STEP_MM, 0.0), table.shape[1] - 1.000001)
    k = int(place)
    row = table[tooth, k] + (place - k) * (table[tooth, k + 1] - table[tooth, k])
    half = row[1] if side == MESIAL else -row[1]
    mesial = row[0] + half
    ax = axes[tooth]
    for i in range(3):
        placed = origins[tooth, i] + mesial * ax[0, i] + row[2] * ax[1, i] + height * ax[2, i]
        point[i] += 0.5 * placed
    return float(half)


__all__ = ["flank_bisectors"]

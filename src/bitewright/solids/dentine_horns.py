"""Dentine under the chewing surface: a horn under each cusp, a floor between them. [mm]

Horns stand under the tips, not all alike: lower and under thicker enamel on the working side, each
a little off its place. Seen from the side those towards cheek and tongue therefore do not fall on
one another. Between them the junction sinks less than the fossae above it, so that enamel is
thinnest at the bottom of fissures. General anatomy; figures are our choice.
"""

import numpy as np
from numpy.typing import NDArray

from bitewright.solids.blends import soft_max, soft_min
from bitewright.solids.fixed_noise import slow_noise
from bitewright.solids.occlusal_relief import grown_relief
from bitewright.solids.placed_tooth import PlacedTooth
from bitewright.solids.tooth_solid import ToothGrid

Floats = NDArray[np.float64]

CUSP_ENAMEL_MM = (1.0, 1.0, 1.3, 1.5, 1.6, 1.9, 2.0, 2.0)
"""Straight down from a cusp's tip to the horn below it, by place."""

WORKING_MM = 0.2
LOW_CUSP_MM, LOW_CUSP_SHARE = 1.2, 0.2
"""So much more over cusps that bite into the opposite teeth, less over the others; less by this
share over a cusp that stands so much lower than the highest."""

OFF_MM = (0.18, 0.10, 0.20)
"""Horns stand off their place by so much at most: forward, towards the cheek, up."""

FOSSA_SHARE, CUSP_MM = 0.66, 1.8
"""Of the cusps' enamel, what lies over fossae at most; how far from its horn a cusp reaches."""

FISSURE_ENAMEL_MM = 0.55
"""At least so much lies over dentine, grooves included."""

TOWARDS_AXIS = 0.86
"""Horns stand this share of the cusp's way out from the middle."""

HORN_SLOPE, HORN_ROUNDNESS_MM, HORN_CREASE_MM = 1.0, 0.15, 0.3

WAVE_MM, WAVE_SIZE_MM = 0.10, 3.0
"""The whole is uneven by so much at most, over this length."""


def dentine_relief(placed: PlacedTooth, grid: ToothGrid) -> Floats:
    """Height of the dentine under the chewing surface as it grew, (X, Y). [mm]"""
    mesial, buccal = grid.mesial[..., 0], grid.buccal[..., 0]
    surface = grown_relief(placed, mesial, buccal)
    over = CUSP_ENAMEL_MM[placed.place - 1]
    if placed.place <= 2:
        return surface - over
    horns, most = _horns(placed, over, mesial, buccal)
    between = soft_max(horns, surface - most, HORN_CREASE_MM)
    places = np.stack(np.broadcast_arrays(mesial, buccal, np.zeros(surface.shape)), axis=-1)
    wave = WAVE_MM * np.tanh(slow_noise(places + placed.variety_mm, WAVE_SIZE_MM))
    return soft_min(between + wave, surface - FISSURE_ENAMEL_MM, 0.3)


def _horns(
    placed: PlacedTooth, over: float, mesial: Floats, buccal: Floats
) -> tuple[Floats, Floats]:
    """Height of the horns, and the most enamel that may lie over dentine. [mm]"""
    tips = placed.outlines.cusps.grown_tips(placed.row)
    shape = np.broadcast_shapes(mesial.shape, buccal.shape)
    horns, most = np.full(shape, -np.inf), np.full(shape, FOSSA_SHARE * over)
    for number, tip in enumerate(tips):
        x, y, z = (placed.between((-off, off), 3 * number + k) for k, off in enumerate(OFF_MM, 1))
        across = np.hypot(mesial - TOWARDS_AXIS * tip[0] - x, buccal - TOWARDS_AXIS * tip[1] - y)
        own = _over_cusp(placed, over, tip, float(tips[:, 2].max())) + z
        down = np.hypot(HORN_SLOPE * across, HORN_ROUNDNESS_MM) - HORN_ROUNDNESS_MM
        horn = tip[2] - own - down
        horns = horn if number == 0 else soft_max(horns, horn, HORN_CREASE_MM)
        near = np.exp(-((across / CUSP_MM) ** 2))
        most = np.maximum(most, FOSSA_SHARE * over + (1.15 * own - FOSSA_SHARE * over) * near)
    return horns, most


def _over_cusp(placed: PlacedTooth, over: float, tip: Floats, highest: float) -> float:
    """Enamel over one cusp. [mm]"""
    working = 1.0 if (tip[1] > 0.0) != placed.is_upper else -1.0
    lower = min((highest - float(tip[2])) / LOW_CUSP_MM, 1.0)
    return over * (1.0 - LOW_CUSP_SHARE * lower) + WORKING_MM * working


__all__ = ["dentine_relief"]

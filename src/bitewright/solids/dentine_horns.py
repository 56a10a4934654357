"""Dentine under the chewing surface: a horn under each cusp, a floor between them. [mm]

Horns stand under the tips, not all alike: lower and under thicker enamel on the working side, each
a little off its place. Seen from the side those towards cheek and tongue therefore do not fall on
one another. Between them the junction sinks less than the fossae above it, so that enamel is
thinnest at the bottom of fissures. Figures: ``tables/dentine_horns.toml``.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from bitewright.figure_tables import figures_of
from bitewright.solids.blends import soft_max, soft_min
from bitewright.solids.fixed_noise import slow_noise
from bitewright.solids.occlusal_relief import grown_relief
from bitewright.solids.placed_tooth import PlacedTooth
from bitewright.solids.tooth_grid import ToothGrid

Floats = NDArray[np.float64]


def dentine_relief(placed: PlacedTooth, grid: ToothGrid) -> Floats:
    """Height of the dentine under the chewing surface as it grew, above the neck, (X, Y). [mm]

    Our model, after general anatomy: rounded cones under the cusps, an uneven floor between.
    """
    mesial, buccal = grid.mesial[..., 0], grid.buccal[..., 0]
    surface = grown_relief(placed, mesial, buccal)
    enamel, waves = DENTINE_HORNS.enamel, DENTINE_HORNS.waves
    over = enamel.cusp_mm[placed.place - 1]
    if placed.place <= 2:
        return surface - over
    horns, most = _horns(placed, over, mesial, buccal)
    between = soft_max(horns, surface - most, DENTINE_HORNS.horns.crease_mm)
    places = np.stack(np.broadcast_arrays(mesial, buccal, np.zeros(surface.shape)), axis=-1)
    wave = waves.most_mm * np.tanh(slow_noise(places + placed.variety_mm, waves.size_mm))
    return soft_min(between + wave, surface - enamel.fissure_mm, enamel.fissure_edge_mm)


def _horns(
    placed: PlacedTooth, over: float, mesial: Floats, buccal: Floats
) -> tuple[Floats, Floats]:
    """Height of the horns, and the most enamel that may lie over dentine. [mm]"""
    form, enamel = DENTINE_HORNS.horns, DENTINE_HORNS.enamel
    furthest_off = form.off_mesial_mm, form.off_buccal_mm, form.off_up_mm
    tips = placed.outlines.cusps.grown_tips(placed.row)
    shape = np.broadcast_shapes(mesial.shape, buccal.shape)
    over_fossa = enamel.fossa_share * over
    horns, most = np.full(shape, -np.inf), np.full(shape, over_fossa)
    for number, tip in enumerate(tips):
        x, y, z = (
            placed.between((-off, off), 3 * number + k) for k, off in enumerate(furthest_off, 1)
        )
        across = np.hypot(
            mesial - form.out_share * tip[0] - x, buccal - form.out_share * tip[1] - y
        )
        own = _over_cusp(placed, over, tip, float(tips[:, 2].max())) + z
        down = np.hypot(form.slope * across, form.roundness_mm) - form.roundness_mm
        horn = tip[2] - own - down
        horns = horn if number == 0 else soft_max(horns, horn, form.crease_mm)
        near = np.exp(-((across / enamel.cusp_reach_mm) ** 2))
        most = np.maximum(most, over_fossa + (enamel.cusp_most * own - over_fossa) * near)
    return horns, most


def _over_cusp(placed: PlacedTooth, over: float, tip: Floats, highest: float) -> float:
    """Enamel over one cusp. [mm]"""
    enamel = DENTINE_HORNS.enamel
    working = 1.0 if (tip[1] > 0.0) != placed.is_upper else -1.0
    lower = min((highest - float(tip[2])) / enamel.low_cusp_mm, 1.0)
    return over * (1.0 - enamel.low_cusp_share * lower) + enamel.working_mm * working


class CuspEnamel(NamedTuple):
    """Enamel over cusps, fossae and fissures."""

    cusp_mm: tuple[float, ...]
    working_mm: float
    low_cusp_mm: float
    low_cusp_share: float
    fossa_share: float
    cusp_most: float
    cusp_reach_mm: float
    fissure_mm: float
    fissure_edge_mm: float


class Horns(NamedTuple):
    """Where horns stand and how they fall off."""

    off_mesial_mm: float
    off_buccal_mm: float
    off_up_mm: float
    out_share: float
    slope: float
    roundness_mm: float
    crease_mm: float


class DentineWaves(NamedTuple):
    """How uneven the dentine is between the horns."""

    most_mm: float
    size_mm: float


class DentineHorns(NamedTuple):
    """Dentine under the chewing surface."""

    enamel: CuspEnamel
    horns: Horns
    waves: DentineWaves


DENTINE_HORNS = figures_of(DentineHorns, "bitewright.solids", "dentine_horns")

__all__ = ["dentine_relief"]

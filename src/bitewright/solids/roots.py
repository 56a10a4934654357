"""Roots as fields on a tooth's grid: single ones that close, a molar's that part. [mm]

Figures: ``tables/roots.toml``.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from bitewright.figure_tables import figures_of
from bitewright.solids.blends import rise, soft_max, soft_min, superellipse
from bitewright.solids.placed_tooth import PlacedTooth
from bitewright.solids.tooth_grid import ToothGrid

Floats = NDArray[np.float64]


def with_molar_roots(placed: PlacedTooth, grid: ToothGrid, body: Floats) -> Floats:
    """A molar (X, Y, Z): its trunk down to the furcation, and the roots that leave it. [mm]

    Our model: each root is a superellipse that leans, bows, tapers and twists on its way down.

    Parameters
    ----------
    placed : PlacedTooth
    grid : ToothGrid
    body : (X, Y, Z) float array
        The molar as if its neck went on down. [mm]
    """
    tooth, form = placed.tooth, ROOTS.molar
    jaw = form.upper if placed.is_upper else form.lower
    fork_mm = jaw.furcation_first_mm if placed.place == 6 else jaw.furcation_second_mm
    fork = -min(fork_mm, form.furcation_deepest_share * tooth.root_length_mm)
    vault = form.furcation_vault_per_mm * grid.buccal**2
    cut = form.trunk_slope * (fork + vault - form.furcation_over_mm - grid.height)
    trunk = soft_max(body, np.broadcast_to(cut, body.shape), form.trunk_edge_mm)
    roots: Floats | None = None
    for number, (root, apex) in enumerate(zip(molar_roots(placed), placed.apices(), strict=True)):
        one = _root(placed, grid, root, number, apex)
        roots = one if roots is None else soft_min(roots, one, form.between_mm)
    # Within the crown the roots' upper ends must not show.
    top = np.broadcast_to(grid.height + form.top_mm, body.shape)
    below = soft_max(np.asarray(roots), top, form.top_edge_mm)
    return soft_min(trunk, below, form.into_trunk_mm)


def with_single_end(placed: PlacedTooth, grid: ToothGrid, body: Floats) -> Floats:
    """A tooth with one root (X, Y, Z), ended at its apex. [mm]"""
    return soft_max(body, -(grid.height + placed.tooth.root_length_mm), ROOTS.single.end_mm)


def single_bend_mm(depth: Floats) -> Floats:
    """How far a single root bows forward at shares of its length (any shape). [mm]"""
    return np.asarray(ROOTS.single.bend_mm * np.sin(np.pi * depth) * depth)


def end_share(depth: Floats) -> Floats:
    """What is left of a single root's width at shares of its length (any shape)."""
    single = ROOTS.single
    closing = np.clip((depth - single.closes_from_share) / single.closes_over_share, 0.0, 1.0)
    return np.asarray(np.sqrt(np.clip(1.0 - closing**2, single.least_end_square, 1.0)))


def squarer_by(height_mm: Floats) -> Floats:
    """How much greater a molar's exponent is at heights above the neck (any shape)."""
    up = height_mm / ROOTS.molar.squarer_to_mm
    return np.asarray(ROOTS.molar.squarer * (1.0 - rise(up)))


def molar_roots(placed: PlacedTooth) -> "tuple[Root, ...]":
    """The roots of a molar, in the order of its apices."""
    upper, lower = ROOTS.molar.upper, ROOTS.molar.lower
    if placed.is_upper:
        return upper.mesiobuccal, upper.distobuccal, upper.lingual
    return lower.mesial, lower.distal


def root_start_mm(placed: PlacedTooth, root: "Root") -> Floats:
    """Where a molar's root starts in the tooth's axes: forward, towards the cheek, (2,). [mm]"""
    neck = np.array([placed.tooth.md_cervix_mm, placed.tooth.bl_cervix_mm])
    start = np.array([root.start_mesial_share, root.start_buccal_share])
    return np.asarray(start * neck * [_spread(placed), 1.0])


def twist(placed: PlacedTooth, root: int) -> float:
    """How far one of a tooth's roots is twisted about its axis, as the tangent of the angle."""
    return 2.0 * ROOTS.molar.most_twist * (placed.chance(20 + root) - 0.5)


def _spread(placed: PlacedTooth) -> float:
    """How far from the middle a molar's roots start, against those of a first molar."""
    return 1.0 if placed.place == 6 else ROOTS.molar.second_spread


def _root(placed: PlacedTooth, grid: ToothGrid, root: "Root", number: int, apex: Floats) -> Floats:
    tooth, form = placed.tooth, ROOTS.molar
    start = root_start_mm(placed, root)
    half = root.half_width_share * tooth.md_cervix_mm, root.half_breadth_share * tooth.bl_cervix_mm
    t = np.clip(-grid.height / tooth.root_length_mm, 0.0, 1.0)
    narrowing = 1.0 - form.taper_share * t**form.fullness
    closing = np.sqrt(np.maximum(1.0 - t**form.closes_power, 0.0))
    taper = narrowing * closing + form.least_taper
    a, b = half[0] * taper, half[1] * taper
    out = t**form.lean_power
    bow = root.bow_mm * _spread(placed) * t * (1.0 - t) * form.bow_times
    x = grid.mesial - (start[0] + (apex[0] - start[0]) * out + bow)
    y = grid.buccal - (start[1] + (apex[1] - start[1]) * out)
    side = np.sign(start[0])
    x = x - form.inner_lean * y * side - form.inner_bow_per_mm * y**2 * side
    x = x - rise(t / form.twist_from_share) * twist(placed, number) * y
    field = superellipse(x / a, y / b, a, b, np.full((1, 1, 1), form.exponent))
    return np.asarray(np.maximum(field, -(grid.height + tooth.root_length_mm)))


class SingleRoot(NamedTuple):
    """The root of a tooth that is no molar."""

    bend_mm: float
    closes_from_share: float
    closes_over_share: float
    least_end_square: float
    end_mm: float


class Root(NamedTuple):
    """Where a molar's root starts, how thick it is there and how it bows."""

    start_mesial_share: float
    start_buccal_share: float
    half_width_share: float
    half_breadth_share: float
    bow_mm: float


class UpperRoots(NamedTuple):
    """Those of upper molars."""

    furcation_first_mm: float
    furcation_second_mm: float
    mesiobuccal: Root
    distobuccal: Root
    lingual: Root


class LowerRoots(NamedTuple):
    """Those of lower molars."""

    furcation_first_mm: float
    furcation_second_mm: float
    mesial: Root
    distal: Root


class MolarRoots(NamedTuple):
    """The roots of molars."""

    squarer: float
    squarer_to_mm: float
    most_twist: float
    twist_from_share: float
    taper_share: float
    fullness: float
    closes_power: float
    least_taper: float
    lean_power: float
    bow_times: float
    inner_lean: float
    inner_bow_per_mm: float
    exponent: float
    second_spread: float
    furcation_deepest_share: float
    furcation_vault_per_mm: float
    furcation_over_mm: float
    trunk_slope: float
    trunk_edge_mm: float
    between_mm: float
    top_mm: float
    top_edge_mm: float
    into_trunk_mm: float
    upper: UpperRoots
    lower: LowerRoots


class Roots(NamedTuple):
    """Roots of teeth."""

    single: SingleRoot
    molar: MolarRoots


ROOTS = figures_of(Roots, "bitewright.solids", "roots")

__all__ = [
    "Root",
    "end_share",
    "molar_roots",
    "root_start_mm",
    "single_bend_mm",
    "squarer_by",
    "twist",
    "with_molar_roots",
    "with_single_end",
]

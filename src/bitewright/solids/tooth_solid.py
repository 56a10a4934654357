"""One tooth as fields on a grid of its own axes: negative inside, 0 on the surface. [mm]

The crown is the outlines' sections cut by the chewing surface and the contact facets, so that a
film's contacts are the outlines'. Roots follow the sections, or part at a furcation. Fields are no
true distances away from the surface. Forms are our choice, after general anatomy.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bitewright.solids.blends import rise, soft_max, soft_min
from bitewright.solids.crown_sides import line_angles_mm, swells_mm
from bitewright.solids.fixed_noise import slow_noise
from bitewright.solids.occlusal_relief import flank_grooves, occlusal_relief
from bitewright.solids.placed_tooth import FLUTE_FROM_MM, FLUTE_SHARE, PlacedTooth

Floats = NDArray[np.float64]

STEP_MM = 0.3
MARGIN_MM = 1.2
EDGE_MM = {1: 0.35, 2: 0.35, 3: 0.6}
"""How widely flank and chewing surface round into one another, by place; else 0.55."""

FACET_FROM_SHARE, FACET_FADE = 0.28, 1.2
"""Facets cut the crown only: below this share of it they fade."""

FURCATION_MM = {True: (4.4, 5.0), False: (3.1, 3.6)}
"""Depth below the junction: upper and lower, first and second molars."""

UNEVEN_MM, UNEVEN_SIZE_MM = 0.05, 2.2
UNEVEN_WITHIN = (0.40, 0.30)
"""Cheek and tongue sides are uneven by so much at most; nearer the neighbours than this share of
the half width it fades over the next: contacts, necks and crest points stay the outlines' own."""

ROOT_TAPER, ROOT_FULLNESS = 0.50, 1.6
SQUARER, SQUARER_UP_TO_MM = 0.9, 2.5
"""Roots and necks of molars are squarer in section than the outlines' by so much in the exponent:
flat towards their neighbours, and as wide."""

MOST_TWIST = 0.06
"""Roots are twisted by so much at most, each its own way: where the beam runs along a socket's wall
its lines are sharp, elsewhere they fade."""

ROOT_BEND_MM = {"mesial": 0.3, "distal": -0.6, "mesiobuccal": 0.0, "distobuccal": 0.1}
"""Roots of molars bow by so much, forward positive; others by a third of a millimetre."""

SINGLE_BEND_MM = -0.45

ROOTS = {
    True: {
        "mesiobuccal": ((0.215, 0.165), (0.215, 0.32)),
        "distobuccal": ((-0.22, 0.17), (0.205, 0.30)),
        "lingual": ((-0.03, -0.235), (0.30, 0.25)),
    },
    False: {
        "mesial": ((0.25, 0.0), (0.185, 0.46)),
        "distal": ((-0.255, 0.0), (0.185, 0.42)),
    },
}
"""Where a molar's roots start and their half axes, as shares of the neck's width and breadth."""


@dataclass(frozen=True, slots=True, eq=False)
class ToothGrid:
    """The grid of one tooth: (X, 1, 1), (1, Y, 1), (1, 1, Z) coordinates in its own axes. [mm]"""

    mesial: Floats
    buccal: Floats
    height: Floats

    @classmethod
    def of(cls, placed: PlacedTooth, step_mm: float = STEP_MM) -> "ToothGrid":
        """A grid that holds the whole tooth with a margin."""
        tooth = placed.tooth
        apices = np.abs(np.array(placed.apices())).max(axis=0)
        reach = 0.5 * np.array([tooth.md_crown_mm, tooth.bl_crown_mm])
        reach = np.maximum(reach, apices + 1.0) + MARGIN_MM + [0.3, 0.6]
        low = [-reach[0], -reach[1], -tooth.root_length_mm - MARGIN_MM]
        high = [reach[0], reach[1], tooth.crown_length_mm + MARGIN_MM]
        axes = [np.arange(a, b + step_mm, step_mm) for a, b in zip(low, high, strict=True)]
        return cls(axes[0][:, None, None], axes[1][None, :, None], axes[2][None, None, :])

    @property
    def low_mm(self) -> Floats:
        """The first point."""
        return np.array([self.mesial[0, 0, 0], self.buccal[0, 0, 0], self.height[0, 0, 0]])

    def points(self) -> Floats:
        """Every point (X, Y, Z, 3)."""
        return np.stack(np.broadcast_arrays(self.mesial, self.buccal, self.height), axis=-1)


def outer_field(placed: PlacedTooth, grid: ToothGrid) -> Floats:
    """The whole tooth, (X, Y, Z), as its mouth has worn it."""
    height = occlusal_relief(placed, grid.mesial[..., 0], grid.buccal[..., 0])
    crown = 0.84 * (grid.height - height[..., None])
    body = soft_max(section_field(placed, grid), crown, EDGE_MM.get(placed.place, 0.3))
    if placed.is_molar:
        return _with_roots(placed, grid, body)
    return soft_max(body, -(grid.height + placed.tooth.root_length_mm), 0.8)


def with_facets(placed: PlacedTooth, grid: ToothGrid, field: Floats) -> Floats:
    """A field cut flat at the tooth's contacts, crown only."""
    fade = FACET_FADE * np.maximum(
        FACET_FROM_SHARE * placed.tooth.crown_length_mm - grid.height, 0.0
    )
    for x, y, z, offset in placed.planes_tooth:
        beyond = x * grid.mesial + y * grid.buccal + z * grid.height
        field = np.maximum(field, beyond - offset - fade)
    return field


def section_field(placed: PlacedTooth, grid: ToothGrid) -> Floats:
    """The sections at every height, no facets; single roots are on their way to the apex."""
    height = grid.height[0, 0]
    table = placed.sections.at(np.full(len(height), placed.row), height)
    x0, a, y0, b, n = (column[None, None, :] for column in table.T)
    if placed.is_molar:
        n = n + SQUARER * (1.0 - rise(grid.height / SQUARER_UP_TO_MM))
    mesial, buccal = grid.mesial, grid.buccal
    depth = np.clip(-grid.height / placed.tooth.root_length_mm, 0.0, 1.0)
    if not placed.is_molar:
        shift = np.mean(placed.apices(), axis=0)
        mesial = mesial - depth**2 * shift[0] - SINGLE_BEND_MM * np.sin(np.pi * depth) * depth
        buccal = buccal - depth**2 * shift[1]
        end = np.sqrt(np.clip(1.0 - np.clip((depth - 0.86) / 0.145, 0.0, 1.0) ** 2, 0.02, 1.0))
        a, b = a * end, b * end
    y = (buccal - y0) / b
    below = rise((FLUTE_FROM_MM[0] - grid.height) / (FLUTE_FROM_MM[0] - FLUTE_FROM_MM[1]))
    flute = FLUTE_SHARE.get(placed.place, 0.08) * below
    a = a * (1.0 - flute * np.exp(-((y / 0.38) ** 2)))
    x = (mesial - x0 - (placed.shear + below * _twist(placed, 0)) * buccal) / a
    field = _superellipse(x, y, a, b, n) + _uneven_mm(placed, grid, x)
    field = field + line_angles_mm(placed, x, y, grid.height) + swells_mm(placed, x, grid.height)
    return np.asarray(field + flank_grooves(placed, grid.mesial, grid.buccal, grid.height))


def _twist(placed: PlacedTooth, root: int) -> float:
    """How far one of a tooth's roots is twisted about its axis, as the tangent of the angle."""
    return 2.0 * MOST_TWIST * (placed.chance(20 + root) - 0.5)


def _uneven_mm(placed: PlacedTooth, grid: ToothGrid, share: Floats) -> Floats:
    """How far cheek and tongue sides lie in from the sections; ``share`` of the half width."""
    from_middle, over = UNEVEN_WITHIN
    weight = rise((from_middle + over - np.abs(share)) / over)
    wave = np.tanh(slow_noise(grid.points() + placed.variety_mm, UNEVEN_SIZE_MM))
    return np.asarray(UNEVEN_MM * weight * wave)


def _superellipse(x: Floats, y: Floats, a: Floats, b: Floats, n: Floats) -> Floats:
    """Distance, nearly, to superellipses, from places as shares of their half axes."""
    x, y = np.abs(x), np.abs(y)
    xn, yn = x ** (n - 1.0), y ** (n - 1.0)
    total = np.maximum(xn * x + yn * y, 1e-9)
    rho = total ** (1.0 / n)
    slope = np.hypot(xn / a, yn / b) * rho / total
    return np.asarray((rho - 1.0) / np.maximum(slope, 1e-6))


def _with_roots(placed: PlacedTooth, grid: ToothGrid, body: Floats) -> Floats:
    """A molar: its trunk down to the furcation, and the roots that leave it."""
    tooth = placed.tooth
    fork = -min(
        FURCATION_MM[placed.is_upper][0 if placed.place == 6 else 1], 0.34 * tooth.root_length_mm
    )
    cut = 0.6 * (fork + 0.06 * grid.buccal**2 - 0.3 - grid.height)
    trunk = soft_max(body, np.broadcast_to(cut, body.shape), 2.0)
    roots: Floats | None = None
    for (name, (start, half)), apex in zip(
        ROOTS[placed.is_upper].items(), placed.apices(), strict=True
    ):
        one = _root(placed, grid, name, (start, half), apex)
        roots = one if roots is None else soft_min(roots, one, 0.55)
    # Within the crown the roots' upper ends must not show.
    below = soft_max(np.asarray(roots), np.broadcast_to(grid.height + 0.8, body.shape), 0.6)
    return soft_min(trunk, below, 1.0)


def _root(
    placed: PlacedTooth,
    grid: ToothGrid,
    name: str,
    shares: tuple[tuple[float, float], tuple[float, float]],
    apex: Floats,
) -> Floats:
    tooth = placed.tooth
    neck = np.array([tooth.md_cervix_mm, tooth.bl_cervix_mm])
    spread = 1.0 if placed.place == 6 else 0.8
    start, half = (np.array(share) * neck for share in shares)
    start = start * [spread, 1.0]
    t = np.clip(-grid.height / tooth.root_length_mm, 0.0, 1.0)
    bow = ROOT_BEND_MM.get(name, 0.3) * spread
    taper = (1.0 - ROOT_TAPER * t**ROOT_FULLNESS) * np.sqrt(np.maximum(1.0 - t**9, 0.0)) + 0.04
    a, b = half[0] * taper, half[1] * taper
    x = grid.mesial - (start[0] + (apex[0] - start[0]) * t**1.15 + bow * t * (1.0 - t) * 1.6)
    y = grid.buccal - (start[1] + (apex[1] - start[1]) * t**1.15)
    # Inner faces lean and bow, or the furcation's two edges would fall on one another.
    x = x - 0.10 * y * np.sign(start[0]) - 0.03 * y**2 * np.sign(start[0])
    x = x - rise(t / 0.4) * _twist(placed, list(ROOTS[placed.is_upper]).index(name)) * y
    n = np.full((1, 1, 1), 2.6)
    field = _superellipse(x / a, y / b, a, b, n)
    return np.asarray(np.maximum(field, -(grid.height + tooth.root_length_mm)))


__all__ = ["STEP_MM", "ToothGrid", "outer_field", "section_field", "with_facets"]

"""One tooth as fields on a grid of its own axes: negative inside, 0 on the surface. [mm]

The crown is the outlines' sections cut by the chewing surface and the contact facets, so that a
film's contacts are the outlines'. Roots follow the sections, or part at a furcation (`roots`).
Fields are no true distances away from the surface. Figures: ``tables/tooth.toml``.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from bitewright.figure_tables import figures_of
from bitewright.solids.blends import rise, soft_max, superellipse
from bitewright.solids.crown_sides import line_angles_mm, swells_mm
from bitewright.solids.fixed_noise import slow_noise
from bitewright.solids.occlusal_relief import flank_grooves, occlusal_relief
from bitewright.solids.placed_tooth import PlacedTooth
from bitewright.solids.roots import (
    end_share,
    single_bend_mm,
    squarer_by,
    twist,
    with_molar_roots,
    with_single_end,
)
from bitewright.solids.tooth_grid import ToothGrid

Floats = NDArray[np.float64]


def outer_field(placed: PlacedTooth, grid: ToothGrid) -> Floats:
    """The whole tooth as its mouth has worn it, facets not yet cut, shape (X, Y, Z). [mm]

    Our model: the outlines' sections, ended by the chewing surface above and by roots below.
    """
    height = occlusal_relief(placed, grid.mesial[..., 0], grid.buccal[..., 0])
    body = soft_max(section_field(placed, grid), over_surface(grid, height), _edge_mm(placed))
    if placed.is_molar:
        return with_molar_roots(placed, grid, body)
    return with_single_end(placed, grid, body)


def over_surface(grid: ToothGrid, height: Floats) -> Floats:
    """A field (X, Y, Z) that is 0 on a surface of these heights (X, Y), negative below. [mm]"""
    return np.asarray(TOOTH.crown.top_slope * (grid.height - height[..., None]))


def _edge_mm(placed: PlacedTooth) -> float:
    """How widely flank and chewing surface round into one another."""
    crown = TOOTH.crown
    if placed.place == 3:
        return crown.edge_canine_mm
    return crown.edge_incisor_mm if placed.place < 3 else crown.edge_mm


def with_facets(placed: PlacedTooth, grid: ToothGrid, field: Floats) -> Floats:
    """A field (X, Y, Z) cut flat at the tooth's contacts, crown only. [mm]"""
    from_mm = TOOTH.facets.from_share * placed.tooth.crown_length_mm
    fade = TOOTH.facets.fade * np.maximum(from_mm - grid.height, 0.0)
    for x, y, z, offset in placed.planes_tooth:
        beyond = x * grid.mesial + y * grid.buccal + z * grid.height
        field = np.maximum(field, beyond - offset - fade)
    return field


def section_field(placed: PlacedTooth, grid: ToothGrid) -> Floats:
    """The outlines' sections at every height, no facets, shape (X, Y, Z). [mm]

    Single roots are on their way to the apex. Our model: superellipses, with a flute along the
    root, uneven cheek and tongue sides, and the crown's own sides (`crown_sides`).
    """
    height = grid.height[0, 0]
    table = placed.sections.at(np.full(len(height), placed.row), height)
    x0, a, y0, b, n = (column[None, None, :] for column in table.T)
    if placed.is_molar:
        n = n + squarer_by(grid.height)
    mesial, buccal = grid.mesial, grid.buccal
    depth = np.clip(-grid.height / placed.tooth.root_length_mm, 0.0, 1.0)
    if not placed.is_molar:
        shift = np.mean(placed.apices(), axis=0)
        mesial = mesial - depth**2 * shift[0] - single_bend_mm(depth)
        buccal = buccal - depth**2 * shift[1]
        end = end_share(depth)
        a, b = a * end, b * end
    y = (buccal - y0) / b
    flute = TOOTH.flute
    fluted_over_mm = flute.full_depth_mm - flute.from_depth_mm
    below = rise((-flute.from_depth_mm - grid.height) / fluted_over_mm)
    shares = {4: flute.first_premolar_share, 5: flute.second_premolar_share}
    deep = shares.get(placed.place, flute.share) * below
    a = a * (1.0 - deep * np.exp(-((y / flute.width_share) ** 2))) * placed.wider(buccal - y0)
    x = (mesial - x0 - (placed.shear + below * twist(placed, 0)) * buccal) / a
    field = superellipse(x, y, a, b, n) + _uneven_mm(placed, grid, x)
    field = field + line_angles_mm(placed, x, y, grid.height) + swells_mm(placed, x, grid.height)
    return np.asarray(field + flank_grooves(placed, grid.mesial, grid.buccal, grid.height))


def _uneven_mm(placed: PlacedTooth, grid: ToothGrid, share: Floats) -> Floats:
    """How far cheek and tongue sides lie in from the sections; ``share`` of the half width."""
    uneven = TOOTH.uneven
    whole, over = uneven.whole_to_share, uneven.gone_over_share
    weight = rise((whole + over - np.abs(share)) / over)
    wave = np.tanh(slow_noise(grid.points() + placed.variety_mm, uneven.size_mm))
    return np.asarray(uneven.most_mm * weight * wave)


class CrownTop(NamedTuple):
    """How a crown ends above."""

    top_slope: float
    edge_incisor_mm: float
    edge_canine_mm: float
    edge_mm: float


class ContactFacets(NamedTuple):
    """How far down contact facets cut."""

    from_share: float
    fade: float


class UnevenSides(NamedTuple):
    """How uneven cheek and tongue sides are."""

    most_mm: float
    size_mm: float
    whole_to_share: float
    gone_over_share: float


class RootFlute(NamedTuple):
    """The groove along a root's proximal side."""

    first_premolar_share: float
    second_premolar_share: float
    share: float
    from_depth_mm: float
    full_depth_mm: float
    width_share: float


class ToothOutside(NamedTuple):
    """A tooth's outside."""

    crown: CrownTop
    facets: ContactFacets
    uneven: UnevenSides
    flute: RootFlute


TOOTH = figures_of(ToothOutside, "bitewright.solids", "tooth")

__all__ = ["outer_field", "over_surface", "section_field", "with_facets"]

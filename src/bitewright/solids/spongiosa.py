"""Where the spongiosa of one jaw's side lies, on an even grid, for marching through it."""

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from bitewright.space import Pose

if TYPE_CHECKING:  # the grid is for building alone, and slow to load
    from bitewright.solids.jaw_grid import JawGrid

Floats = NDArray[np.float64]
Fields = NDArray[np.float32]

CELL_MM = 0.5
"""Distance of the field's places."""

MARGIN_MM = 1.0
"""The field goes on this far beyond the spongiosa."""

AHEAD_SHARE = 0.6
"""The texture runs along the row as the row does from this share of it, counted from its end."""

OUTSIDE_MM = 3.0
"""Further off than this the field says only that it is further."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SpongiosaField:
    """Distance to the spongiosa's surface, negative inside, on an even grid.

    Parameters
    ----------
    distance_mm : (X, Y, Z) float32 array
        About the distance; never more than `OUTSIDE_MM`. [mm]
    origin_mouth : (3,) float array
        The first place. [mm]
    axes_mouth : (3, 3) float array
        Rows: the directions of the grid's lines; the mouth's own if left out.
    cell_mm : float
        Distance of the grid's places. [mm]
    grain_axes_mouth : (3, 3) float array
        Rows: along the row backwards, towards the cheek, rootward; mirrored on the other side.
    grain_origin_mouth : (3,) float array
        A place fixed in the jaw that the texture hangs on. [mm]
    is_lower : bool
    """

    distance_mm: Fields
    origin_mouth: Floats
    axes_mouth: Floats = field(default_factory=lambda: np.eye(3))
    cell_mm: float
    grain_axes_mouth: Floats
    grain_origin_mouth: Floats
    is_lower: bool

    def moved(self, pose: Pose) -> "SpongiosaField":
        """The same field carried by a rigid movement."""
        return replace(
            self,
            origin_mouth=pose.points(self.origin_mouth),
            axes_mouth=pose.directions(self.axes_mouth),
            grain_axes_mouth=pose.directions(self.grain_axes_mouth),
            grain_origin_mouth=pose.points(self.grain_origin_mouth),
        )


def spongiosa_field(grid: "JawGrid", field: Fields, quadrant: int) -> SpongiosaField:
    """Resample a grid's field evenly, over the part that holds any spongiosa.

    Parameters
    ----------
    grid : JawGrid
    field : (S, N, Z) float32 array
        Negative inside the spongiosa, on the grid's places. [mm]
    quadrant : int
        1 to 4.
    """
    held = (field < 0).any(axis=2)
    plan = grid.plan_mouth[held]
    rows = np.flatnonzero((field < 0).any(axis=(0, 1)))
    low = np.array([*plan.min(axis=0), grid.heights_mm[rows[0]]]) - MARGIN_MM
    high = np.array([*plan.max(axis=0), grid.heights_mm[rows[-1]]]) + MARGIN_MM
    x, y, z = (np.arange(a, b + CELL_MM, CELL_MM) for a, b in zip(low, high, strict=True))
    columns = np.stack(np.meshgrid(x, y, indexing="ij"), axis=-1).reshape(-1, 2)
    points = np.empty((len(columns), len(z), 3))
    points[..., :2] = columns[:, None]
    points[..., 2] = z
    values = grid.looked_up(field, points, outside=OUTSIDE_MM)
    row = grid.ridge
    back, front = (int(row.last), int((1.0 - AHEAD_SHARE) * row.last + AHEAD_SHARE * row.first))
    along = row.line_mouth[back] - row.line_mouth[front]
    along /= np.linalg.norm(along)
    out = np.array([-along[1], along[0]])
    out *= np.sign(out @ row.out_mouth[back])
    return SpongiosaField(
        distance_mm=np.minimum(values, OUTSIDE_MM).reshape(len(x), len(y), len(z)),
        origin_mouth=np.array([x[0], y[0], z[0]]),
        cell_mm=CELL_MM,
        grain_axes_mouth=np.array([[*along, 0.0], [*out, 0.0], [0.0, 0.0, row.rootward]]),
        grain_origin_mouth=np.array([*row.line_mouth[back], row.crest_mm[back]]),
        is_lower=quadrant in (3, 4),
    )


__all__ = ["SpongiosaField", "spongiosa_field"]

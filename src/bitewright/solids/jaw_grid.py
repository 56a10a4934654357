"""A grid that follows the ridge of one jaw's side: fields on it become closed meshes.

Places are station along the row, offset towards the cheek and height in the mouth frame. It is fine
where roots are and coarse beyond, and narrower on the tongue's side where the row bends sharply.
"""

from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter1d, map_coordinates
from skimage.measure import marching_cubes

from bitewright.solids.ridge import STEP_MM, Ridge
from bitewright.space import ClosedMesh

Floats = NDArray[np.float64]
Fields = NDArray[np.float32]

FINE_MM = 0.36
"""Distance of the grid's lines along and across where roots are."""

FRONT_STEP_MM = 0.7
"""Their distance along the row ahead of the fine stretch."""

FINE_FROM_MM = 18.0
"""The fine stretch begins this far behind the first tooth's front."""

FINE_TO_MM = 3.0
"""It ends this far behind the last tooth."""

BEHIND_STEP_MM = 0.6
"""Their distance along the row behind it."""

ASIDE_STEP_MM = 0.6
"""Their distance across beside the fine stretch."""

TONGUE_MM = -11.0
"""The grid reaches this far towards the tongue."""

CHEEK_MM = 13.0
"""It reaches this far towards the cheek."""

FINE_TONGUE_MM = -7.0
"""It is fine across from here."""

FINE_CHEEK_MM = 8.0
"""It is fine across to here."""

OVER_MM = 6.0
"""Its finely spaced heights begin this far over the crest."""

OVER_STEP_MM = 0.4
"""Distance of heights from there on."""

CREST_FROM_MM = 2.5
"""So much further down they lie as the next figure says."""

CREST_STEP_MM = 0.3
"""Distance of heights at the crest and along roots."""

FINE_UNDER_MM = 13.0
"""They lie so to this far under the crest."""

COARSE_MM = 0.9
"""Distance of heights further down."""

UNDER_MM = 28.0
"""The grid reaches this far under the crest."""

RAMUS_OVER_MM = 20.0
"""In the lower jaw it begins this much higher, for the ramus."""

UPPER_OVER_MM = 1.0
"""In the upper jaw it begins this much higher."""

HIGH_STEP_MM = 1.0
"""Distance of heights up there."""

BEND_SHARE = 0.7
"""The grid reaches this share of the way to the row's centre of curvature."""

BEND_SMOOTHING_MM = 3.0
"""Standard deviation of the blur of the row's curvature."""

LEAST_BEND_PER_MM = 1e-3
"""Keeps the radius of a straight row from a division by nothing."""

OFF_ZERO_MM = 2e-5
"""Values of a field this near to 0 are moved off it, or marching would make empty triangles."""

CLOSED_MM = 0.05
"""Where a field would leave the grid it is set to this, so that its surface is closed."""


@dataclass(frozen=True, slots=False, kw_only=True, eq=False)
class JawGrid:
    """Grid lines of one jaw's side, shape (S, N, Z).

    Parameters
    ----------
    ridge : Ridge
    stations : (S,) float array
        In the ridge's own steps.
    tongue_scale : (S,) float array
        What negative offsets are multiplied with at each station.
    offsets_mm, heights_mm : (N,) and (Z,) float arrays
        Offsets before scaling; heights in the mouth frame. [mm]
    """

    ridge: Ridge
    stations: Floats
    tongue_scale: Floats
    offsets_mm: Floats
    heights_mm: Floats

    @cached_property
    def shape(self) -> tuple[int, int, int]:
        """Stations, offsets, heights."""
        return len(self.stations), len(self.offsets_mm), len(self.heights_mm)

    @cached_property
    def across_mm(self) -> Floats:
        """Offsets (S, N) towards the cheek. [mm]"""
        scale = np.where(self.offsets_mm < 0, self.tongue_scale[:, None], 1.0)
        return self.offsets_mm * scale

    @cached_property
    def plan_mouth(self) -> Floats:
        """Places (S, N, 2) seen from above. [mm]"""
        line, out = (
            np.stack([self.ridge.at(self.stations, table[:, k]) for k in (0, 1)], axis=1)
            for table in (self.ridge.line_mouth, self.ridge.out_mouth)
        )
        return np.asarray(line[:, None] + self.across_mm[..., None] * out[:, None])

    @cached_property
    def points_mouth(self) -> Floats:
        """All places (S, N, Z, 3). [mm]"""
        points = np.empty((*self.shape, 3))
        points[..., :2] = self.plan_mouth[:, :, None]
        points[..., 2] = self.heights_mm
        return points

    def mesh(self, field: Fields) -> ClosedMesh:
        """The surface on which a field is 0, closed where it would leave the grid.

        Model: marching cubes, as scikit-image has them.

        Parameters
        ----------
        field : (S, N, Z) float32 array
            Negative inside. [mm]

        Returns
        -------
        ClosedMesh
            In the mouth frame. [mm]
        """
        closed = np.where(np.abs(field) < OFF_ZERO_MM, np.float32(OFF_ZERO_MM), field)
        for axis in range(3):
            ends = np.moveaxis(closed, axis, 0)
            ends[[0, -1]] = np.maximum(ends[[0, -1]], np.float32(CLOSED_MM))
        at, triangles, _, _ = marching_cubes(closed, 0.0)  # type: ignore[no-untyped-call]
        plan = [
            map_coordinates(self.plan_mouth[..., k], at[:, :2].T.astype(float), order=1)
            for k in (0, 1)
        ]
        height = np.interp(at[:, 2], np.arange(self.shape[2]), self.heights_mm)
        mesh = ClosedMesh(np.column_stack([*plan, height]), triangles)
        return mesh if mesh.volume_mm3 > 0 else ClosedMesh(mesh.vertices_mm, triangles[:, ::-1])

    def looked_up(self, field: Fields, points_mouth: Floats, *, outside: float) -> Fields:
        """A field looked up between the grid's places.

        Parameters
        ----------
        field : (S, N, Z) float32 array
            [mm]
        points_mouth : (C, Z, 3) float array
            Places on upright columns. [mm]
        outside : float
            Value beyond the grid. [mm]

        Returns
        -------
        (C, Z) float32 array
            [mm]
        """
        station, offset = self.ridge.place(points_mouth[:, 0])
        s = np.interp(station, self.stations, np.arange(self.shape[0]))
        scale = np.interp(station, self.stations, self.tongue_scale)
        unscaled = np.where(offset < 0, offset / scale, offset)
        n = _index(unscaled, self.offsets_mm)
        z = _index(points_mouth[0, :, 2], self.heights_mm)
        edge = (station <= self.stations[0]) | (station >= self.stations[-1])
        n[edge] = -2.0
        at = np.broadcast_arrays(s[:, None], n[:, None], z)
        return np.asarray(
            map_coordinates(field, np.stack(at), order=1, mode="constant", cval=outside)
        )


def _index(value: Floats, lines: Floats) -> Floats:
    """Where values lie among grid lines, beyond them well outside."""
    index = np.interp(value, lines, np.arange(len(lines)))
    index[(value < lines[0]) | (value > lines[-1])] = -2.0
    return np.asarray(index)


def jaw_grid(ridge: Ridge) -> JawGrid:
    """The grid round a ridge, fine where its teeth's roots are."""
    end = (len(ridge.crest_mm) - 1) * STEP_MM
    first, last = ridge.first * STEP_MM, ridge.last * STEP_MM
    fine_from = max(first + FINE_FROM_MM, 0.0)
    along = _lines(
        [
            (0.0, FRONT_STEP_MM),
            (fine_from, FINE_MM),
            (last + FINE_TO_MM, BEHIND_STEP_MM),
            (end, 0.0),
        ]
    )
    across = _lines(
        [
            (TONGUE_MM, ASIDE_STEP_MM),
            (FINE_TONGUE_MM, FINE_MM),
            (FINE_CHEEK_MM, ASIDE_STEP_MM),
            (CHEEK_MM, 0.0),
        ]
    )
    fine = ridge.rootward * ridge.crest_mm[int(ridge.first) : int(ridge.last) + 1]
    top, deep = float(fine.min()) - OVER_MM, float(fine.max()) + FINE_UNDER_MM
    over = top - (RAMUS_OVER_MM if ridge.rootward < 0 else UPPER_OVER_MM)
    heights = _lines(
        [
            (over, HIGH_STEP_MM),
            (top, OVER_STEP_MM),
            (top + CREST_FROM_MM, CREST_STEP_MM),
            (deep, COARSE_MM),
            (deep + UNDER_MM - FINE_UNDER_MM, 0.0),
        ]
    )
    heights = np.sort(ridge.rootward * heights)
    return JawGrid(
        ridge=ridge,
        stations=along / STEP_MM,
        tongue_scale=_tongue_scale(ridge, along / STEP_MM),
        offsets_mm=across,
        heights_mm=heights,
    )


def _lines(parts: list[tuple[float, float]]) -> Floats:
    """Grid lines from one place to the next, each stretch with its own step."""
    lines = [
        np.linspace(start, end, max(round((end - start) / step), 1), endpoint=False)
        for (start, step), (end, _) in pairwise(parts)
    ]
    return np.append(np.concatenate(lines), parts[-1][0])


def _tongue_scale(ridge: Ridge, stations: Floats) -> Floats:
    """Keep the grid on this side of the row's centre of curvature."""
    turn = np.gradient(ridge.out_mouth, STEP_MM, axis=0)
    bend = gaussian_filter1d(
        np.linalg.norm(turn, axis=1), BEND_SMOOTHING_MM / STEP_MM, mode="nearest"
    )
    room = BEND_SHARE / np.maximum(ridge.at(stations, bend), LEAST_BEND_PER_MM)
    return np.minimum(1.0, room / -TONGUE_MM)


__all__ = ["JawGrid", "jaw_grid"]

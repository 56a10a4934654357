"""Landmarks: named points on the receptor plane, projected from an exposure or marked on a film."""

from dataclasses import dataclass
from enum import IntEnum, StrEnum
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


class Status(IntEnum):
    """What became of a landmark."""

    SEEN = 0
    OUTSIDE = 1
    """Beyond the edge of the active area."""
    CUT = 2
    """Within the active area but not reached by the beam."""
    HIDDEN = 3
    """Covered by something, as a person judged."""
    UNMARKED = 4
    SHOWN = 5
    """Seen by a person, who put no mark on its place."""


class Origin(StrEnum):
    """Where a set of landmarks comes from."""

    PROJECTED = "projected"
    MARKED = "marked"


@dataclass(frozen=True, slots=False, kw_only=True, eq=False)
class Landmarks:
    """The same L named points in E exposures (one, for a real film).

    Parameters
    ----------
    names : tuple of L str
        See `mouth.landmark_names`.
    points_receptor : (E, L, 2) float array
        u to the right, v down, from the centre of the active area; NaN where unmarked. [mm]
    status : (E, L) int array
        `Status` of each.
    origin : Origin
    frame_margin_mm, beam_margin_mm : (E, L) float arrays
        Distance inside the active area's edge and inside the beam's edge, on the receptor;
        negative outside. [mm]
    front_sign : float
        +1 where the front of the mouth lies to the viewer's right, else -1.
    half_size_mm : (2,) float array
        Half the active area along u and v. [mm]
    corner_radius_mm : float
        Of the active area's corners; 0 is square. [mm]
    covariance_mm2 : (2L, 2L) float array or None
        Joint covariance (u1, v1, u2, ...); None for points without uncertainty. [mm2]
    """

    names: tuple[str, ...]
    points_receptor: Floats
    status: NDArray[np.int8]
    origin: Origin
    frame_margin_mm: Floats
    beam_margin_mm: Floats
    front_sign: float
    half_size_mm: Floats
    corner_radius_mm: float = 0.0
    covariance_mm2: Floats | None = None

    @cached_property
    def column(self) -> dict[str, int]:
        """Column of each name."""
        return {name: column for column, name in enumerate(self.names)}

    def __len__(self) -> int:
        """Number of exposures."""
        return len(self.points_receptor)

    def points(self, name: str) -> Floats:
        """Points (E, 2) of one landmark; NaN where it is not in the set. [mm]"""
        column = self.column.get(name)
        if column is None:
            return np.full((len(self), 2), np.nan)
        return self.points_receptor[:, column]

    def status_of(self, name: str) -> NDArray[np.int8]:
        """Status (E,) of one landmark."""
        column = self.column.get(name)
        if column is None:
            return np.full(len(self), Status.UNMARKED, dtype=np.int8)
        return self.status[:, column]

    def margins(self, name: str) -> tuple[Floats, Floats]:
        """Frame and beam margins (E,) of one landmark; NaN where it is not in the set. [mm]"""
        column = self.column.get(name)
        if column is None:
            unknown = np.full(len(self), np.nan)
            return unknown, unknown
        return self.frame_margin_mm[:, column], self.beam_margin_mm[:, column]


__all__ = ["Landmarks", "Origin", "Status"]

"""Crowns as straight lines on their surface: whatever the beam, their image holds the crown's edge.

The silhouette of a faceted body ends on edges of its triangles, so where these cross a row of the
image lies that row's outermost place, exactly. Lines down a flank serve the outlines alike.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bitewright.space import ClosedMesh

Floats = NDArray[np.float64]

ROW_MM = 0.1
"""Distance of the rows in which crowns are compared. Our choice."""


@dataclass(frozen=True, slots=True, eq=False)
class CrownLines:
    """Straight lines on a crown's surface.

    Parameters
    ----------
    starts_mouth, ends_mouth : (n, 3) float arrays
        The two ends of each line. [mm]
    """

    starts_mouth: Floats
    ends_mouth: Floats

    @classmethod
    def of_mesh(cls, mesh: ClosedMesh) -> "CrownLines":
        """Every edge of a mesh, once."""
        ends = np.concatenate([mesh.triangles[:, [k, (k + 1) % 3]] for k in range(3)])
        once = np.unique(np.sort(ends, axis=1), axis=0)
        return cls(mesh.vertices_mm[once[:, 0]], mesh.vertices_mm[once[:, 1]])

    @classmethod
    def of_flanks(cls, flanks_mouth: Floats) -> "CrownLines":
        """Lines from row to row down both flanks, (2, K, M, 3) as in `Outlines.flanks_mouth`."""
        return cls(flanks_mouth[:, :-1].reshape(-1, 3), flanks_mouth[:, 1:].reshape(-1, 3))

    def between(self, lowest_mm: float, highest_mm: float) -> "CrownLines":
        """The parts of the lines between two heights in the mouth frame. [mm]"""
        start, way = self.starts_mouth, self.ends_mouth - self.starts_mouth
        rise = np.where(way[:, 2] == 0.0, np.inf, way[:, 2])
        meets = (np.array([[lowest_mm], [highest_mm]]) - start[:, 2]) / rise
        first, last = np.clip(np.sort(meets, axis=0), 0.0, 1.0)
        inside = (first < last)[:, None]
        here, there = (start + share[:, None] * way for share in (first, last))
        return CrownLines(here[inside[:, 0]], there[inside[:, 0]])

    def level_points_mouth(self) -> Floats:
        """Where the lines cross level planes `ROW_MM` apart, (m, 3). [mm]"""
        return crossings(self.starts_mouth, self.ends_mouth)


def crossings(starts: Floats, ends: Floats) -> Floats:
    """Where lines (n, k) cross the planes on which their last coordinate is a multiple of `ROW_MM`.

    A line lying in such a plane crosses none; those that meet it there do.

    Returns
    -------
    (m, k) float array
    """
    down = (starts[:, -1] > ends[:, -1])[:, None]
    low, high = np.where(down, ends, starts), np.where(down, starts, ends)
    first, after = (np.ceil(side[:, -1] / ROW_MM).astype(np.intp) for side in (low, high))
    count = after - first
    owner = np.repeat(np.arange(len(low)), count)
    row = np.arange(len(owner)) + np.repeat(first - (np.cumsum(count) - count), count)
    way = high[owner] - low[owner]
    share = (row * ROW_MM - low[owner, -1]) / way[:, -1]
    found = low[owner] + share[:, None] * way
    found[:, -1] = row * ROW_MM
    return np.asarray(found)


__all__ = ["ROW_MM", "CrownLines", "crossings"]

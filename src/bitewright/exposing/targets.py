"""Targets: what is projected of a mouth for a region."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bitewright.exposing.region import Region
from bitewright.mouth.flanks import DISTAL, MESIAL
from bitewright.mouth.outlines import ContactSite, Outlines

Floats = NDArray[np.float64]

FIRST_PLACE = 3
"""Bitewings are read from the canine backwards."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Targets:
    """What is projected of a mouth for a region.

    Parameters
    ----------
    sites : tuple of C ContactSite
    flanks_mouth : (S, K, M, 3) float array
        Flanks, two for each contact (of the front tooth, then of the back tooth), then free ones.
        [mm]
    outward : (S,) float array
        +1 where a flank faces the front of the mouth (mesial), -1 where it faces back.
    points_mouth : (P, 3) float array
    flank_is_lower, point_is_lower : (S,) and (P,) bool arrays
    names : tuple of S + P str
    """

    sites: tuple[ContactSite, ...]
    flanks_mouth: Floats
    outward: Floats
    points_mouth: Floats
    flank_is_lower: NDArray[np.bool_]
    point_is_lower: NDArray[np.bool_]
    names: tuple[str, ...]

    def only(self, pairs: tuple[tuple[int, int], ...], surfaces: tuple[str, ...]) -> "Targets":
        """Fewer targets: these contacts, these free surfaces, and every point."""
        kept = [c for c, site in enumerate(self.sites) if site.pair in pairs]
        flanks = [2 * c + k for c in kept for k in (0, 1)]
        paired = {self.names[f] for f in flanks}
        flanks += [
            f
            for f in range(len(self.flanks_mouth))
            if self.names[f] in surfaces and self.names[f] not in paired
        ]
        points = self.names[len(self.flanks_mouth) :]
        return Targets(
            sites=tuple(self.sites[c] for c in kept),
            flanks_mouth=np.ascontiguousarray(self.flanks_mouth[flanks]),
            outward=self.outward[flanks],
            points_mouth=self.points_mouth,
            flank_is_lower=self.flank_is_lower[flanks],
            point_is_lower=self.point_is_lower,
            names=tuple(self.names[f] for f in flanks) + points,
        )


def targets(outlines: Outlines, region: Region) -> Targets:
    """All contacts, free surfaces, junctions, crests and cusps of a region's side, canine back."""
    sites = tuple(
        site
        for site in outlines.sites
        if site.pair[0] // 10 in region.quadrants and site.pair[0] % 10 >= FIRST_PLACE
    )
    flanks = [(site.pair[k], (DISTAL, MESIAL)[k]) for site in sites for k in (0, 1)]
    side = [c for c in outlines.codes if c // 10 in region.quadrants and c % 10 >= FIRST_PLACE]
    flanks += [(c, s) for c in side for s in (MESIAL, DISTAL) if (c, s) not in flanks]
    names = [f"{code}.{('mesial', 'distal')[surface]}" for code, surface in flanks]
    points = {
        name: point
        for name, point in outlines.points_mouth.items()
        if int(name[:2]) in side and not name.endswith(".apex")
    }
    rows = [outlines.row[code] for code, _ in flanks]
    surfaces = [surface for _, surface in flanks]
    return Targets(
        sites=sites,
        flanks_mouth=np.ascontiguousarray(outlines.flanks_mouth[rows, surfaces]),
        outward=np.where(np.array(surfaces) == MESIAL, 1.0, -1.0),
        points_mouth=np.array(list(points.values())).reshape(-1, 3),
        flank_is_lower=np.array([code // 10 in (3, 4) for code, _ in flanks], dtype=bool),
        point_is_lower=np.array([int(name[:2]) // 10 in (3, 4) for name in points], dtype=bool),
        names=tuple(names) + tuple(points),
    )


__all__ = ["FIRST_PLACE", "Targets", "targets"]

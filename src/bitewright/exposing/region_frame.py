"""A region's own directions, taken from the teeth that a mouth has there."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bitewright.errors import BitewrightError
from bitewright.exposing.region import Region, Zone
from bitewright.mouth.outlines import Outlines

Floats = NDArray[np.float64]


class NothingToImageError(BitewrightError):
    """The mouth has too few teeth in the region to take a direction from."""

    def __init__(self, region: Region) -> None:
        self.region = region
        super().__init__(
            f"The mouth has fewer than two teeth in the {region.side.value} {region.zone} region, "
            "a bitewing there needs at least two: choose another view or another mouth."
        )


# Which places in the row give the chord's direction, and which the receptor's middle: between the
# second premolar and the first molar, or at the second molar (partly read in a teaching text, else
# from memory).
CHORD_PLACES = {Zone.PREMOLAR: (4, 5, 6), Zone.MOLAR: (5, 6, 7, 8)}
MIDDLE_PLACES = {Zone.PREMOLAR: (5, 6), Zone.MOLAR: (7,)}


@dataclass(frozen=True, slots=True, eq=False)
class RegionFrame:
    """The region's own directions in a mouth. [mm]

    Parameters
    ----------
    front_mouth, tongue_mouth : (3,) float arrays
        Horizontal unit directions along the chord of the teeth to the front, and across it to the
        tongue.
    middle_mouth : (3,) float array
        Where a bite block meets the upper cusps opposite the middle of a receptor with
        ``forward_mm = 0``.
    lower_rest_mouth : (3,) float array
        Where it meets the lower cusps there, jaws closed.
    upper_slope, lower_slope : float
        Rise of the cusp lines towards the front, jaws closed. [mm per mm]
    """

    front_mouth: Floats
    tongue_mouth: Floats
    middle_mouth: Floats
    lower_rest_mouth: Floats
    upper_slope: float
    lower_slope: float


def region_frame(outlines: Outlines, region: Region) -> RegionFrame:
    """Take a region's directions from the teeth that are there.

    Raises
    ------
    NothingToImageError
        If fewer than two teeth of the region are present.
    """
    chord = _crowns(outlines, region, CHORD_PLACES[region.zone])
    if len(chord) < 2:
        raise NothingToImageError(region)
    front = _front_direction(chord)
    tongue = np.array([-front[1], front[0], 0.0]) * region.front_sign
    middle = _crowns(outlines, region, MIDDLE_PLACES[region.zone])
    middle = (middle if len(middle) else chord).mean(axis=0)
    rests = [
        _cusp_line(_cusps(outlines, quadrant), middle, front, side)
        for quadrant, side in zip(region.quadrants, (-1.0, 1.0), strict=True)
    ]
    (upper, upper_slope), (lower, lower_slope) = rests
    # A row without teeth takes its level and slope from the other.
    if upper is None:
        upper, upper_slope = lower, lower_slope
    if lower is None:
        lower, lower_slope = upper, upper_slope
    return RegionFrame(
        front_mouth=front,
        tongue_mouth=tongue,
        middle_mouth=np.array([middle[0], middle[1], upper or 0.0]),
        lower_rest_mouth=np.array([middle[0], middle[1], lower or 0.0]),
        upper_slope=upper_slope,
        lower_slope=lower_slope,
    )


def _crowns(outlines: Outlines, region: Region, places: tuple[int, ...]) -> Floats:
    codes = [
        10 * quadrant + place
        for quadrant in region.quadrants
        for place in places
        if 10 * quadrant + place in outlines.row
    ]
    return np.array([outlines.crown_middle_mouth(code) for code in codes]).reshape(-1, 3)


def _front_direction(crowns: Floats) -> Floats:
    """Principal horizontal direction of crown middles, pointing forwards."""
    flat = crowns[:, :2] - crowns[:, :2].mean(axis=0)
    _, _, axes = np.linalg.svd(flat, full_matrices=False)
    along = axes[0] if axes[0][1] < 0 else -axes[0]
    return np.array([along[0], along[1], 0.0])


BLOCK_REACH_MM = 7.5
"""A bite block of usual length reaches this far to both sides of its middle. Our choice."""


def _cusps(outlines: Outlines, quadrant: int) -> list[Floats]:
    """Cusp tips (Q, 3) of each tooth of a quadrant. [mm]"""
    teeth: dict[int, list[Floats]] = {}
    for name, point in outlines.points_mouth.items():
        if name.endswith(".cusp") and int(name[:2]) // 10 == quadrant:
            teeth.setdefault(int(name[:2]), []).append(point)
    return [np.array(tips) for tips in teeth.values()]


def _cusp_line(
    teeth: list[Floats], middle: Floats, front: Floats, side: float
) -> tuple[float | None, float]:
    """Height at the middle and slope of the line a flat block meets.

    The trend of the teeth's highest cusps, on which a block lies, moved until the first cusp
    touches. ``side`` is -1 for the upper row (the block touches from below) and +1 for the lower.
    """
    if not teeth:
        return None, 0.0
    highest = np.array([tips[(side * tips[:, 2]).argmax()] for tips in teeth])
    along = (highest - middle) @ front
    near = np.abs(along) <= 2.0 * BLOCK_REACH_MM
    if near.sum() < 2:
        return float(highest[np.abs(along).argmin(), 2]), 0.0
    slope, level = np.polyfit(along[near], highest[near, 2], 1)
    tips = np.concatenate(teeth)
    along = (tips - middle) @ front
    touching = np.abs(along) <= BLOCK_REACH_MM
    if not touching.any():
        touching = np.abs(along) <= 2.0 * BLOCK_REACH_MM
    rest = (tips[:, 2] - level - slope * along)[touching]
    return float(level + side * np.max(side * rest)), float(slope)


__all__ = ["NothingToImageError", "RegionFrame", "region_frame"]

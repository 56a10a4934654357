"""Where the tube stands and points, and where its beam falls."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bitewright.equipment.tubes import FieldShape, Tube
from bitewright.exposing.hand_settings import together
from bitewright.exposing.region import Format, Region
from bitewright.exposing.seating import Seat

Floats = NDArray[np.float64]

LIMITS = {
    "ring_offset_deg": (-70.0, 70.0),
    "vertical_deg": (-70.0, 70.0),
    "tube_forward_mm": (-150.0, 150.0),
    "tube_up_mm": (-150.0, 150.0),
}
"""Beyond these no tube is aimed at a receptor. Our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Aim:
    """How the tube is aimed, relative to the receptor and the occlusal plane.

    ``ring_offset_deg``: in the occlusal plane, from the receptor's normal to the central ray,
    positive with the tube towards the front of the mouth.
    ``vertical_deg``: positive with the tube above the occlusal plane, pointing down.
    ``tube_forward_mm``, ``tube_up_mm``: the whole tube slid parallel to the receptor, so that the
    central ray misses the receptor's middle by that much.
    Each may be a number or an array.
    """

    ring_offset_deg: float | Floats = 0.0
    vertical_deg: float | Floats = 0.0
    tube_forward_mm: float | Floats = 0.0
    tube_up_mm: float | Floats = 0.0

    def arrays(self) -> dict[str, Floats]:
        """All four as float arrays of one shape (E,)."""
        return together(self, LIMITS)


@dataclass(frozen=True, slots=True, eq=False)
class Beam:
    """Sources and fields of E exposures.

    Parameters
    ----------
    sources_mouth : (E, 3) float array
        Focal spots. [mm]
    rays_mouth : (E, 3) float array
        Central rays, unit vectors from the source towards the receptor.
    across_mouth, down_mouth : (E, 3) float arrays
        The field's own axes, at right angles to the central ray.
    end_mm : float
        Source to the tube's end. [mm]
    half_across_mm, half_down_mm : float
        Half the opening at the tube's end. [mm]
    is_round : bool
        Round opening (of radius ``half_across_mm``) or rectangular.
    """

    sources_mouth: Floats
    rays_mouth: Floats
    across_mouth: Floats
    down_mouth: Floats
    end_mm: float
    half_across_mm: float
    half_down_mm: float
    is_round: bool


def beam(seat: Seat, aim: Aim, tube: Tube, region: Region, *, end_to_receptor_mm: float) -> Beam:
    """Aim a tube at seated receptors; one aim a seat, or one of either for all of the other.

    A rectangular field is turned with the receptor: its long side along the receptor's.
    """
    a = aim.arrays()
    u, v, w = (seat.axes_mouth[:, k] for k in range(3))
    front = region.front_sign * u
    flat_away = _flat(w)
    flat_front = _flat(front)
    offset = np.deg2rad(a["ring_offset_deg"])[:, None]
    vertical = np.deg2rad(a["vertical_deg"])[:, None]
    level = -flat_away * np.cos(offset) + flat_front * np.sin(offset)
    to_tube = level * np.cos(vertical) + np.array([0.0, 0.0, 1.0]) * np.sin(vertical)
    reach = tube.source_to_end_mm + end_to_receptor_mm
    slide = a["tube_forward_mm"][:, None] * front - a["tube_up_mm"][:, None] * v
    ray = -to_tube
    across = u - np.einsum("ec,ec->e", u, ray)[:, None] * ray
    across /= np.linalg.norm(across, axis=1)[:, None]
    half = _half_opening(tube, region)
    return Beam(
        sources_mouth=seat.centres_mouth + reach * to_tube + slide,
        rays_mouth=ray,
        across_mouth=across,
        down_mouth=np.cross(ray, across),
        end_mm=tube.source_to_end_mm,
        half_across_mm=half[0],
        half_down_mm=half[1],
        is_round=tube.field is FieldShape.ROUND,
    )


def _half_opening(tube: Tube, region: Region) -> tuple[float, float]:
    if tube.field_diameter_mm is not None:
        return 0.5 * tube.field_diameter_mm, 0.5 * tube.field_diameter_mm
    long, short = 0.5 * (tube.field_long_mm or 0.0), 0.5 * (tube.field_short_mm or 0.0)
    return (long, short) if region.format is Format.HORIZONTAL else (short, long)


def _flat(directions: Floats) -> Floats:
    """Directions laid into the occlusal plane, unit length."""
    level = directions * [1.0, 1.0, 0.0]
    return np.asarray(level / np.linalg.norm(level, axis=1)[:, None])


__all__ = ["Aim", "Beam", "beam"]

"""The field's edge on the receptor: where the beam reaches, and how softly it ends."""

import math

import numpy as np
from numpy.typing import NDArray

from bitewright.compiled import compiled_loosely
from bitewright.equipment.tubes import Tube
from bitewright.exposing.exposure import Exposures
from bitewright.film.receptor_grid import ReceptorGrid

Floats = NDArray[np.float64]


def beam_mask(exposures: Exposures, grid: ReceptorGrid) -> NDArray[np.float32]:
    """How much of the field reaches each pixel of the receptor in the first exposure.

    Model: a straight ramp in the penumbra of the tube's end, as an even focal spot throws it.

    Parameters
    ----------
    exposures : Exposures
        Only the first counts.
    grid : ReceptorGrid

    Returns
    -------
    (rows, columns) float32 array
        1 inside the field, 0 outside.
    """
    at, beam, seat = exposures.station, exposures.beam, exposures.seat
    source = seat.axes_mouth[0] @ (beam.sources_mouth[0] - seat.centres_mouth[0])
    axes = np.stack([beam.across_mouth[0], beam.down_mouth[0], beam.rays_mouth[0]])
    field_from_receptor = axes @ seat.axes_mouth[0].T
    mask = np.empty(grid.shape, dtype=np.float32)
    fill_mask(
        field_from_receptor,
        np.array([grid.first_u_mm, grid.first_v_mm, 0.0]) - source,
        grid.pixel_mm,
        np.array([beam.half_across_mm, beam.half_down_mm]) / beam.end_mm,
        _penumbra_mm(at.tube, at.holder.ring_to_receptor_mm),
        bool(beam.is_round),
        mask,
    )
    return mask


@compiled_loosely
def fill_mask(
    field_from_receptor: Floats,
    first_mm: Floats,
    pixel_mm: float,
    half_shares: Floats,
    penumbra_mm: float,
    is_round: bool,
    mask: NDArray[np.float32],
) -> None:
    """Fill a mask by how far each pixel lies inside the field, measured square to the central ray.

    Parameters
    ----------
    field_from_receptor : (3, 3) float array
        Rows: across and down the field, and along the central ray, in the receptor frame.
    first_mm : (3,) float array
        From the source to the first pixel, in the receptor frame. [mm]
    pixel_mm : float
        [mm]
    half_shares : (2,) float array
        Half the field across and down, as shares of the way along the ray.
    penumbra_mm : float
        Width of the field's soft edge. [mm]
    is_round : bool
    mask : (rows, columns) float32 array
        Filled.
    """
    turn = field_from_receptor
    for row in range(mask.shape[0]):
        v, w = first_mm[1] + pixel_mm * row, first_mm[2]
        for column in range(mask.shape[1]):
            u = first_mm[0] + pixel_mm * column
            across = turn[0, 0] * u + turn[0, 1] * v + turn[0, 2] * w
            down = turn[1, 0] * u + turn[1, 1] * v + turn[1, 2] * w
            along = turn[2, 0] * u + turn[2, 1] * v + turn[2, 2] * w
            if is_round:
                margin = half_shares[0] * along - math.sqrt(across * across + down * down)
            else:
                margin = min(
                    half_shares[0] * along - abs(across), half_shares[1] * along - abs(down)
                )
            mask[row, column] = min(max(0.5 + margin / penumbra_mm, 0.0), 1.0)


def _penumbra_mm(tube: Tube, end_to_receptor_mm: float) -> float:
    """Width of the field's soft edge: the focal spot seen past the tube's end. [mm]"""
    return tube.focal_spot_mm * end_to_receptor_mm / tube.source_to_end_mm


__all__ = ["beam_mask"]

"""An exposure's rays in the frame of a jaw, where what is fixed in the jaw does not move."""

import numpy as np
from numpy.typing import NDArray

from bitewright.exposing.exposure import Exposures
from bitewright.film.receptor_grid import ReceptorGrid
from bitewright.mouth.jaws import opened

Floats = NDArray[np.float64]


def rays_in_jaw(
    exposures: Exposures, grid: ReceptorGrid, *, skipped: int, is_lower: bool
) -> Floats:
    """The first exposure's rays in the frame of a jaw as it is when closed. [mm]

    Parameters
    ----------
    exposures : Exposures
    grid : ReceptorGrid
    skipped : int
        Every so many rows and columns are taken.
    is_lower : bool

    Returns
    -------
    (4, 3) float array
        The source, the first pixel, and the ways from it to the next taken to the right and down.
    """
    seat = exposures.seat
    axes, centre = seat.axes_mouth[0], seat.centres_mouth[0]
    first = centre + grid.first_u_mm * axes[0] + grid.first_v_mm * axes[1]
    step = skipped * grid.pixel_mm
    ends = np.stack(
        [exposures.beam.sources_mouth[0], first, first + step * axes[0], first + step * axes[1]]
    )
    if is_lower:
        opening = float(seat.opening_deg[0])
        ends = opened(ends, exposures.station.outlines.hinge_mm, -opening)
    ends[2:] -= ends[1]
    return ends


__all__ = ["rays_in_jaw"]

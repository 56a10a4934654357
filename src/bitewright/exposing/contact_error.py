"""How far the beam lies from the direction in which each contact is open."""

import numpy as np
from numpy.typing import NDArray

from bitewright.exposing.exposure import Exposures
from bitewright.mouth.jaws import opened
from bitewright.mouth.outlines import ContactSite

Floats = NDArray[np.float64]


def contact_errors_deg(exposures: Exposures, sites: tuple[ContactSite, ...]) -> Floats:
    """Angle at each contact, in the occlusal plane, from its open direction to the ray there.

    Positive where the tube sits too far towards the front for that contact.

    Returns
    -------
    (E, C) float array [deg]
    """
    side = exposures.station.region.front_sign
    hinge = exposures.station.outlines.hinge_mm
    closed = np.array([site.point_mouth for site in sites]).reshape(-1, 3)
    lower = np.array([site.pair[0] // 10 in (3, 4) for site in sites], dtype=bool)
    points = np.repeat(closed[None], len(exposures), axis=0)
    for e, angle in enumerate(exposures.seat.opening_deg):
        points[e, lower] = opened(closed[lower], hinge, float(angle))
    to_tube = exposures.beam.sources_mouth[:, None] - points
    azimuth = np.rad2deg(np.arctan2(-to_tube[..., 1], -side * to_tube[..., 0]))
    return np.asarray(azimuth - [site.open_azimuth_deg for site in sites])


def contact_error_deg(errors_deg: Floats) -> Floats:
    """One figure for a view, (E,): midway between its most different contacts. [deg]

    Swinging the tube back by this much makes the worst contact as good as it can be. NaN where no
    contact of the view is left in the mouth.
    """
    if not errors_deg.shape[1]:
        return np.full(len(errors_deg), np.nan)
    return np.asarray(0.5 * (errors_deg.max(axis=1) + errors_deg.min(axis=1)))


__all__ = ["contact_error_deg", "contact_errors_deg"]

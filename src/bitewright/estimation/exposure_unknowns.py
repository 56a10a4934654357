"""What is not known of the exposure behind a film, and how widely it may vary.

Prior spreads are wide enough for bad technique and are our choice; they keep what a film cannot
tell (how far the receptor stood from the teeth, say) within what a mouth allows.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from bitewright.exposing.aim import Aim
from bitewright.exposing.exposure import Exposures, Station, aimed
from bitewright.exposing.placement import LIMITS, Placement
from bitewright.exposing.seating import nearest_fit_mm, opening_for_separation, seat

Floats = NDArray[np.float64]

NAMES = (
    "forward_mm",
    "lingual_mm",
    "height_mm",
    "turn_deg",
    "tilt_deg",
    "roll_deg",
    "azimuth_deg",
    "vertical_deg",
    "upper_hold",
    "lower_hold",
)
"""Placement as in `Placement`; ``azimuth_deg`` is the tube against the region's chord, positive to
the front: the sum of the receptor's turn and the ring offset. The holds say how far palate or floor
keep the upper and the lower teeth off the bite block: `held_mm` of them, never below nought."""

MEAN = np.array([0.0, 5.0, 0.0, 2.0, 0.0, 0.0, 2.0, 3.0, -1.5, -1.5])
SPREAD = np.array([6.0, 3.0, 1.5, 7.0, 5.0, 4.0, 12.0, 6.0, 1.8, 1.8])
"""Our choice. [mm, deg]"""

BEYOND_NEAREST_MM = 0.5
"""Receptors lie about this much further from the teeth than they must. Our choice."""

STEP = np.array([0.5, 0.5, 0.5, 1.0, 1.0, 1.0, 0.5, 0.5, 0.3, 0.3])
"""Over which the unknowns are differenced."""

TURN = NAMES.index("turn_deg")

HELD_MM = 1.5
"""How softly a hold of nought begins. Our choice."""


def held_mm(hold: Floats) -> Floats:
    """How far a hold keeps teeth off the bite block, (E,): next to nothing below nought. [mm]

    Our model: a soft step (``log(1 + exp)``), so that fitting can cross from held open to closed.
    """
    return np.asarray(HELD_MM * np.logaddexp(0.0, hold))


def hold_for(gap_mm: float) -> float:
    """The hold that keeps teeth this far off; `held_mm` turned round."""
    return float(np.log(np.expm1(max(gap_mm, 1e-3) / HELD_MM)))


def usual_unknowns(station: Station) -> Floats:
    """The middle of the prior (10,): the nearest place where the patient closes best.

    Palate and floor hold the arches apart as they do in the station's mouth there.
    """
    middle = MEAN.copy()
    usual = Placement(forward_mm=middle[0], turn_deg=middle[TURN])
    middle[1] = nearest_fit_mm(station.seating, usual)[0] + BEYOND_NEAREST_MM
    seated = seat(station.seating, replace(usual, lingual_mm=middle[1]))
    for column, gap_mm in ((8, seated.upper_gap_mm[0]), (9, seated.lower_gap_mm[0])):
        middle[column] = max(middle[column], hold_for(gap_mm))
    return middle


def exposures_at(station: Station, unknowns: Floats) -> Exposures:
    """Exposures (E) at rows of unknowns (E, 10), relative to the station's own mouth.

    What holds the arches apart is unknown here and not what the station's palate and floor do.

    Our model of what may vary and how widely; ``SPREAD`` is our choice.
    """
    bounded = np.clip(unknowns, _LOW, _HIGH)
    forward, lingual, height, turn, tilt, roll, azimuth, vertical = bounded[:, :8].T
    upper_gap, lower_gap = held_mm(bounded[:, 8:]).T
    plan = station.seating
    seated = seat(
        plan,
        Placement(
            forward_mm=forward,
            lingual_mm=lingual,
            height_mm=height,
            turn_deg=turn,
            tilt_deg=tilt,
            roll_deg=roll,
        ),
    )
    raised = seated.centres_mouth.copy()
    raised[:, 2] += seated.upper_gap_mm - upper_gap
    apart = plan.block_mm + upper_gap + lower_gap
    opening = opening_for_separation(plan.frame, plan.hinge_mm, apart)
    seated = replace(
        seated,
        centres_mouth=raised,
        opening_deg=opening,
        upper_gap_mm=upper_gap,
        lower_gap_mm=lower_gap,
    )
    ring_offset = np.clip(azimuth - turn, -69.0, 69.0)
    return aimed(station, seated, Aim(ring_offset_deg=ring_offset, vertical_deg=vertical))


_LOW = np.array(
    [*(LIMITS[name][0] + 1.0 for name in NAMES[:6]), -60.0, -60.0, -9.0, -9.0], dtype=np.float64
)
_HIGH = np.array(
    [*(LIMITS[name][1] - 1.0 for name in NAMES[:6]), 60.0, 60.0, 12.0, 12.0], dtype=np.float64
)
_LOW[1] = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Whereabouts:
    """Where receptor and tube stand, in the mouth's own directions: what movements are told by.

    ``forward_mm``, ``height_mm`` and ``lingual_mm``: the receptor's middle along the region's
    chord, above z = 0, and across to the tongue. ``azimuth_deg``: the tube about the vertical,
    nought straight from the patient's side, positive to the front. ``closure_mm``: the teeth
    closing further than they do, so nought or less. Each (E,).
    """

    forward_mm: Floats
    height_mm: Floats
    lingual_mm: Floats
    turn_deg: Floats
    tilt_deg: Floats
    roll_deg: Floats
    azimuth_deg: Floats
    vertical_deg: Floats
    closure_mm: Floats


def pose_of(exposures: Exposures, front_mouth: Floats, tongue_mouth: Floats) -> Whereabouts:
    """Where E exposures stand along horizontal directions (3,) to the front and to the tongue."""
    seat_axes, centre = exposures.seat.axes_mouth, exposures.seat.centres_mouth
    side = exposures.station.region.front_sign
    front, away = side * seat_axes[:, 0], seat_axes[:, 2]
    ray = exposures.beam.rays_mouth
    level = np.hypot(front[:, 0], front[:, 1])
    return Whereabouts(
        forward_mm=centre @ front_mouth,
        height_mm=centre[:, 2],
        lingual_mm=centre @ tongue_mouth,
        turn_deg=np.rad2deg(np.arctan2(front @ tongue_mouth, front @ front_mouth)),
        tilt_deg=np.rad2deg(np.arcsin(np.clip(away[:, 2], -1.0, 1.0))) * -1.0,
        roll_deg=np.rad2deg(np.arctan2(-front[:, 2], level)),
        azimuth_deg=np.rad2deg(np.arctan2(ray[:, 1], side * ray[:, 0])),
        vertical_deg=np.rad2deg(np.arcsin(-ray[:, 2])),
        closure_mm=-exposures.seat.closure_mm,
    )


__all__ = [
    "NAMES",
    "SPREAD",
    "STEP",
    "Whereabouts",
    "exposures_at",
    "held_mm",
    "pose_of",
    "usual_unknowns",
]

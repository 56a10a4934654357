"""Seating a receptor: where it comes to lie in a mouth, and whether the patient can close on it.

The holder's bite block lies at mid-height of the receptor and the teeth close on it. Where palate
or floor leaves an edge no room, the receptor is held down or up and the arches stay apart by that
much more: this is what closure measures.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bitewright.compiled import compiled
from bitewright.equipment.holders import Holder
from bitewright.equipment.receptors import Receptor
from bitewright.exposing.placement import Placement
from bitewright.exposing.region import Format, Region
from bitewright.exposing.region_frame import RegionFrame, region_frame
from bitewright.mouth.outlines import Outlines
from bitewright.mouth.room import RoomLimits, lingual_bulge_mouth, room_limits

Floats = NDArray[np.float64]
Axes = tuple[Floats, Floats, Floats]

EDGE_SHARE = 0.85
"""Share of an edge that must find room; rounded corners slip past. Our choice."""


LEAST_SPACE_MM = 1.0
"""Gum and saliva keep a receptor this far from the crowns; gingiva is 1 mm thick there."""

FURTHEST_SPACE_MM = 16.0
SPACE_STEP_MM = 0.5
SEATING_ROUNDS = 3
"""Moving across changes which teeth lie beside a turned receptor; it settles at once."""

CLOSING_ROUNDS = 3
"""Opening carries the lower teeth backwards, which moves the receptor, which moves the jaw."""

CLOSED_MM = 0.05
"""A separation this small counts as closed."""


@dataclass(frozen=True, slots=True, eq=False)
class Seat:
    """Receptors seated in a mouth: E of them.

    Parameters
    ----------
    axes_mouth : (E, 3, 3) float array
        Rows u, v, w of the receptor frame.
    centres_mouth : (E, 3) float array
        Middle of the active area, on the recording plane. [mm]
    opening_deg : (E,) float array
        How far the mandible is open. [deg]
    upper_gap_mm, lower_gap_mm : (E,) float arrays
        How far the receptor's edge keeps the upper and the lower teeth off the bite block. [mm]
    across_gap_mm : (E,) float array
        Room left between the back of the receptor and the opposite teeth; negative is a collision.
    """

    axes_mouth: Floats
    centres_mouth: Floats
    opening_deg: Floats
    upper_gap_mm: Floats
    lower_gap_mm: Floats
    across_gap_mm: Floats

    @property
    def closure_mm(self) -> Floats:
        """Separation of the arches beyond the bite block's thickness, shape (E,). [mm]"""
        return self.upper_gap_mm + self.lower_gap_mm


@dataclass(frozen=True, slots=True, eq=False)
class SeatPlan:
    """What seating needs of one mouth, region, receptor and holder; made once, used for many."""

    region: Region
    frame: RegionFrame
    room: RoomLimits
    hinge_mm: tuple[float, float]
    own_side: "_Crowns"
    other_side: "_Crowns"
    half_along_mm: float
    half_up_mm: float
    offset_along_mm: float
    offset_up_mm: float
    slope: float
    receptor: Receptor
    block_mm: float
    backing_mm: float


def seat_plan(outlines: Outlines, region: Region, receptor: Receptor, holder: Holder) -> SeatPlan:
    """Gather what seating a receptor in a region needs."""
    frame = region_frame(outlines, region)
    bulge = lingual_bulge_mouth(outlines)
    lower = np.array([code // 10 in (3, 4) for code in outlines.codes])
    # The receptor lies behind its own side's teeth and behind all incisors, as the arch closes.
    own = np.array([c // 10 in region.quadrants or c % 10 <= 2 for c in outlines.codes])
    theta = opening_for_separation(frame, outlines.hinge_mm, holder.bite_block_thickness_mm)
    flat = region.format is Format.HORIZONTAL
    long_short = (receptor.outer_long_mm, receptor.outer_short_mm)
    offsets = (receptor.active_offset_long_mm, receptor.active_offset_short_mm)
    along, up = (0, 1) if flat else (1, 0)
    return SeatPlan(
        region=region,
        frame=frame,
        room=room_limits(outlines),
        hinge_mm=outlines.hinge_mm,
        own_side=_Crowns.of(bulge, own, lower),
        other_side=_Crowns.of(bulge, ~own, lower),
        half_along_mm=0.5 * long_short[along],
        half_up_mm=0.5 * long_short[up],
        offset_along_mm=offsets[along],
        offset_up_mm=offsets[up],
        slope=0.5 * (frame.upper_slope + frame.lower_slope - float(np.tan(np.deg2rad(theta[0])))),
        receptor=receptor,
        block_mm=holder.bite_block_thickness_mm,
        backing_mm=holder.backing_thickness_mm,
    )


def seat(plan: SeatPlan, placement: Placement) -> Seat:
    """Seat receptors: the nearest place that leaves the wanted space to the teeth.

    A sensor's cable leaves to the front (or downwards when it stands upright), so its larger dead
    border lies there. Common practice, no source.
    """
    p = placement.arrays()
    frame = plan.frame
    front, up, away = _axes(frame, p, plan.slope)
    middle = frame.middle_mouth + p["forward_mm"][:, None] * frame.front_mouth
    middle[:, 2] += plan.slope * p["forward_mm"] - 0.5 * plan.block_mm + p["height_mm"]
    # The active area's middle lies where the placement says; the casing's follows from it.
    start = middle + plan.offset_along_mm * front - plan.offset_up_mm * up
    start[:, 2] = middle[:, 2]
    opening = opening_for_separation(frame, plan.hinge_mm, np.full(len(middle), plan.block_mm))
    for _ in range(CLOSING_ROUNDS):
        own = plan.own_side.opened(plan.hinge_mm, opening)
        casing = _moved_off_the_teeth(plan, start, (front, up, away), own, p["lingual_mm"])
        upper_gap, lower_gap = _edge_gaps(plan, casing, front, up, away)
        casing[:, 2] -= upper_gap
        apart = plan.block_mm + upper_gap + lower_gap
        opening = opening_for_separation(frame, plan.hinge_mm, apart)
    thickness = plan.receptor.thickness_mm + plan.backing_mm
    opposite = plan.other_side.opened(plan.hinge_mm, opening)
    other = -_furthest(plan, casing, (front, up, away), opposite, -1.0)
    centre = (
        casing
        - plan.offset_along_mm * front
        + plan.offset_up_mm * up
        + plan.receptor.active_depth_mm * away
    )
    u = plan.region.front_sign * front
    return Seat(
        axes_mouth=np.stack([u, -up, away], axis=1),
        centres_mouth=centre,
        opening_deg=opening,
        upper_gap_mm=upper_gap,
        lower_gap_mm=lower_gap,
        across_gap_mm=other - thickness,
    )


def nearest_fit_mm(plan: SeatPlan, placement: Placement) -> Floats:
    """Least space to the teeth at which the patient can close, (E,), one a placement. [mm]

    The nearest place wins, as for film; where palate or floor is in the way there, the receptor
    goes nearer the midline until the arches close, or as far as they close best.
    """
    tried = np.arange(LEAST_SPACE_MM, FURTHEST_SPACE_MM, SPACE_STEP_MM)
    p = placement.arrays()
    count = len(p["forward_mm"])
    repeated = {name: np.repeat(value, len(tried)) for name, value in p.items()}
    repeated["lingual_mm"] = np.tile(tried, count)
    seated = seat(plan, Placement(**repeated))
    cost = seated.closure_mm + 100.0 * np.maximum(-seated.across_gap_mm, 0.0)
    cost = cost.reshape(count, len(tried))
    good = cost <= cost.min(axis=1)[:, None] + CLOSED_MM
    return np.asarray(tried[good.argmax(axis=1)])


def opening_for_separation(
    frame: RegionFrame, hinge_mm: tuple[float, float], separation_mm: float | Floats
) -> Floats:
    """Opening at which the cusp lines are a distance apart, shape of the separation. [deg]"""
    target = frame.middle_mouth[2] - np.atleast_1d(np.asarray(separation_mm, float))
    y, z = frame.lower_rest_mouth[1:] - hinge_mm
    reach, phase = np.hypot(y, z), np.mod(np.arctan2(z, y), 2 * np.pi)
    # After opening the height above the hinge is reach * sin(phase + opening), behind the front.
    height = np.clip((target - hinge_mm[1]) / reach, -1.0, 1.0)
    return np.asarray(np.rad2deg(np.pi - np.arcsin(height) - phase))


def _axes(frame: RegionFrame, p: dict[str, Floats], slope: float) -> Axes:
    """Front, up and away (to the tongue) directions of receptors, each (E, 3).

    Without roll the receptor stands along the bite block, which lies between the cusp lines.
    """
    turn, tilt, roll = (
        np.deg2rad(p[name])[:, None] for name in ("turn_deg", "tilt_deg", "roll_deg")
    )
    vertical = np.array([0.0, 0.0, 1.0])
    front = frame.front_mouth * np.cos(turn) + frame.tongue_mouth * np.sin(turn)
    away = frame.tongue_mouth * np.cos(turn) - frame.front_mouth * np.sin(turn)
    front = (front + slope * vertical) / np.hypot(1.0, slope)
    up = np.cross(front, away) * np.sign(np.cross(front, away)[:, 2:])
    up, away = up * np.cos(tilt) + away * np.sin(tilt), away * np.cos(tilt) - up * np.sin(tilt)
    front, up = front * np.cos(roll) - up * np.sin(roll), up * np.cos(roll) + front * np.sin(roll)
    return front, up, away


@dataclass(frozen=True, slots=True, eq=False)
class _Crowns:
    """Lingual points of some crowns, jaws closed, and which belong to the lower jaw."""

    points_mouth: Floats
    lower: NDArray[np.bool_]

    @classmethod
    def of(cls, bulge: Floats, chosen: NDArray[np.bool_], lower: NDArray[np.bool_]) -> "_Crowns":
        each = np.repeat(lower[chosen], bulge.shape[1])
        return cls(bulge[chosen].reshape(-1, 3), each)

    def opened(self, hinge_mm: tuple[float, float], opening_deg: Floats) -> Floats:
        """Points (E, P, 3) with the mandible open by E angles."""
        angle = np.deg2rad(opening_deg)[:, None]
        placed = np.repeat(self.points_mouth[None], len(opening_deg), axis=0)
        y, z = (self.points_mouth[self.lower, 1 + k] - hinge_mm[k] for k in (0, 1))
        placed[:, self.lower, 1] = hinge_mm[0] + np.cos(angle) * y - np.sin(angle) * z
        placed[:, self.lower, 2] = hinge_mm[1] + np.sin(angle) * y + np.cos(angle) * z
        return placed


def _moved_off_the_teeth(
    plan: SeatPlan, casing: Floats, axes: Axes, crowns: Floats, space_mm: Floats
) -> Floats:
    """Shift casings across the mouth until the wanted space is left to the nearest crown."""
    tongue = plan.frame.tongue_mouth
    square = axes[2] @ tongue
    casing = casing + (space_mm / square)[:, None] * tongue
    for _ in range(SEATING_ROUNDS):
        nearest = _furthest(plan, casing, axes, crowns, 1.0)
        # With no tooth beside it the receptor stays where it is.
        step = np.where(np.isfinite(nearest), nearest + space_mm, 0.0)
        casing = casing + (step / square)[:, None] * tongue
    return casing


def _furthest(plan: SeatPlan, casing: Floats, axes: Axes, points: Floats, sign: float) -> Floats:
    """Greatest depth behind the casing's face, times a sign, of points (E, P, 3) in its outline.

    Shape (E,); minus infinity with no point there. [mm]
    """
    found = np.empty(len(casing))
    _fill_furthest(casing, axes, points, plan.half_along_mm, plan.half_up_mm, sign, found)
    return found


@compiled
def _fill_furthest(
    casing: Floats,
    axes: Axes,
    points: Floats,
    half_along: float,
    half_up: float,
    sign: float,
    found: Floats,
) -> None:
    for e in range(len(found)):
        c, front, up, away = casing[e], axes[0][e], axes[1][e], axes[2][e]
        most = -np.inf
        for p in range(points.shape[1]):
            x, y, z = (points[e, p, 0] - c[0], points[e, p, 1] - c[1], points[e, p, 2] - c[2])
            # Summed in this order ever since the first runs were kept.
            along = (x * front[0] + z * front[2]) + y * front[1]
            height = (x * up[0] + z * up[2]) + y * up[1]
            if abs(along) <= half_along and abs(height) <= half_up:
                most = max(most, sign * ((x * away[0] + z * away[2]) + y * away[1]))
        found[e] = most


def _edge_gaps(
    plan: SeatPlan, casing: Floats, front: Floats, up: Floats, away: Floats
) -> tuple[Floats, Floats]:
    """How far palate and floor hold the receptor off, each (E,). [mm]"""
    spread = EDGE_SHARE * plan.half_along_mm * np.linspace(-1.0, 1.0, 5)
    depth = np.array([0.0, plan.receptor.thickness_mm])
    edge = (
        casing[:, None, None]
        + spread[:, None, None] * front[:, None, None]
        + depth[:, None] * away[:, None, None]
    )
    top = edge + plan.half_up_mm * up[:, None, None]
    bottom = edge - plan.half_up_mm * up[:, None, None]
    give = plan.receptor.flex_mm
    frame = plan.frame
    # Palate and floor are measured from the cusp lines, whose slope they share.
    along = (top - frame.middle_mouth) @ frame.front_mouth
    upper_level = frame.middle_mouth[2] + plan.slope * along
    lower_level = upper_level - plan.block_mm
    over = top[..., 2] - (upper_level + plan.room.palate_mm(top)) - give
    under = (lower_level - plan.room.floor_mm(bottom)) - bottom[..., 2] - give
    return (
        np.maximum(over.max(axis=(1, 2)), 0.0),
        np.maximum(under.max(axis=(1, 2)), 0.0),
    )


__all__ = [
    "Seat",
    "SeatPlan",
    "nearest_fit_mm",
    "opening_for_separation",
    "seat",
    "seat_plan",
]

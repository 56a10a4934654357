"""Exposures: everything placed. One, or many at once for planning."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from bitewright.equipment.holders import Holder
from bitewright.equipment.receptors import Receptor
from bitewright.equipment.tubes import Tube
from bitewright.errors import BitewrightError
from bitewright.exposing.aim import Aim, Beam, beam
from bitewright.exposing.passing import needed_to_pass_mm
from bitewright.exposing.placement import Placement
from bitewright.exposing.region import Format, Region
from bitewright.exposing.seating import Seat, SeatPlan, seat, seat_plan
from bitewright.mouth.outlines import Outlines

Floats = NDArray[np.float64]


class ReceptorTooLargeError(BitewrightError):
    """The receptor finds no room between the row of teeth and the opposite side."""

    def __init__(self, receptor: Receptor, missing_mm: float) -> None:
        self.receptor = receptor.name
        self.missing_mm = missing_mm
        super().__init__(
            f"The {receptor.title} ({receptor.outer_long_mm:g} x {receptor.outer_short_mm:g} x "
            f"{receptor.thickness_mm:g} mm) is larger than the mouth allows there: it lacks "
            f"{missing_mm:.1f} mm to the opposite teeth; choose a smaller receptor, another "
            "placement or another view."
        )


class CannotOpenError(BitewrightError):
    """The mouth cannot open as far as receptor and bite block need."""

    def __init__(self, needed_mm: float, limit_mm: float) -> None:
        self.needed_mm = needed_mm
        self.limit_mm = limit_mm
        super().__init__(
            f"Receptor and bite block need the front teeth {needed_mm:.0f} mm apart, this mouth "
            f"opens {limit_mm:.0f} mm: choose a smaller receptor or a thinner bite block."
        )


class CannotPassError(BitewrightError):
    """The receptor cannot be brought through the opening and stood up behind the teeth."""

    def __init__(self, receptor: Receptor, needed_mm: float, limit_mm: float) -> None:
        self.receptor = receptor.name
        self.needed_mm = needed_mm
        self.limit_mm = limit_mm
        super().__init__(
            f"To be brought in tipped and stood up, the {receptor.title} needs the front teeth "
            f"{needed_mm:.0f} mm apart, this mouth opens {limit_mm:.0f} mm: choose a smaller or "
            "thinner receptor, or lay it the other way."
        )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Station:
    """Mouth, region and equipment: what stays the same while placement and aim are tried."""

    outlines: Outlines
    region: Region
    receptor: Receptor
    holder: Holder
    tube: Tube
    seating: SeatPlan

    @property
    def half_width_mm(self) -> float:
        """Half the active area along u. [mm]"""
        return 0.5 * (
            self.receptor.active_long_mm
            if self.region.format is Format.HORIZONTAL
            else self.receptor.active_short_mm
        )

    @property
    def half_height_mm(self) -> float:
        """Half the active area along v. [mm]"""
        return 0.5 * (
            self.receptor.active_short_mm
            if self.region.format is Format.HORIZONTAL
            else self.receptor.active_long_mm
        )


def station(
    outlines: Outlines, region: Region, receptor: Receptor, holder: Holder, tube: Tube
) -> Station:
    """Bring mouth, region and equipment together."""
    return Station(
        outlines=outlines,
        region=region,
        receptor=receptor,
        holder=holder,
        tube=tube,
        seating=seat_plan(outlines, region, receptor, holder),
    )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Exposures:
    """E exposures at one station."""

    station: Station
    seat: Seat
    beam: Beam

    def __len__(self) -> int:
        """Number of exposures."""
        return len(self.beam.sources_mouth)

    def repeated(self, count: int) -> "Exposures":
        """Each exposure this many times."""

        def again(values: Floats) -> Floats:
            return np.repeat(values, count, axis=0)

        return replace(
            self,
            seat=Seat(*(again(getattr(self.seat, name)) for name in Seat.__slots__)),
            beam=replace(
                self.beam,
                sources_mouth=again(self.beam.sources_mouth),
                rays_mouth=again(self.beam.rays_mouth),
                across_mouth=again(self.beam.across_mouth),
                down_mouth=again(self.beam.down_mouth),
            ),
        )


def expose(at: Station, placement: Placement, aim: Aim) -> Exposures:
    """Place the receptor and aim the tube; numbers or arrays of one length E."""
    seated = seat(at.seating, placement)
    return aimed(at, seated, aim)


def aimed(at: Station, seated: Seat, aim: Aim) -> Exposures:
    """Aim the tube at receptors already seated (one, or as many as the aim has)."""
    count = max(len(seated.opening_deg), len(aim.arrays()["vertical_deg"]))
    seated = _repeated(seated, count)
    ray = beam(seated, aim, at.tube, at.region, end_to_receptor_mm=at.holder.ring_to_receptor_mm)
    return Exposures(station=at, seat=seated, beam=ray)


def fitting(exposures: Exposures) -> Exposures:
    """These exposures, or the error that says why the receptor cannot be there.

    Raises
    ------
    ReceptorTooLargeError
        If the casing would run into the opposite teeth.
    CannotOpenError
        If the teeth would have to part further than the mouth opens.
    CannotPassError
        If the receptor cannot be brought in at all.
    """
    at = exposures.station
    if has_room(exposures).all():
        return exposures
    limit = at.outlines.mouth.room.opening_limit_mm
    across = float(exposures.seat.across_gap_mm.min())
    if across < 0.0:
        raise ReceptorTooLargeError(at.receptor, -across)
    front = float(front_opening_mm(at, exposures.seat).max())
    if front > limit:
        raise CannotOpenError(front, limit)
    raise CannotPassError(at.receptor, needed_to_pass_mm(at.receptor, at.region.format), limit)


def has_room(exposures: Exposures) -> NDArray[np.bool_]:
    """Whether each receptor can be brought in and be there, (E,): what `fitting` asks."""
    at, seated = exposures.station, exposures.seat
    limit = at.outlines.mouth.room.opening_limit_mm
    passes = needed_to_pass_mm(at.receptor, at.region.format) <= limit
    lies = (seated.across_gap_mm >= 0.0) & (front_opening_mm(at, seated) <= limit)
    return np.asarray(lies & passes)


def front_opening_mm(at: Station, seated: Seat) -> Floats:
    """How far the front teeth stand apart with receptors seated, (E,). [mm]"""
    return np.deg2rad(seated.opening_deg) * at.outlines.hinge_mm[0]


def _repeated(seated: Seat, count: int) -> Seat:
    if len(seated.opening_deg) == count:
        return seated
    return Seat(
        *(
            np.broadcast_to(value, (count, *value.shape[1:]))
            for value in (
                seated.axes_mouth,
                seated.centres_mouth,
                seated.opening_deg,
                seated.upper_gap_mm,
                seated.lower_gap_mm,
                seated.across_gap_mm,
            )
        )
    )


__all__ = [
    "CannotOpenError",
    "CannotPassError",
    "Exposures",
    "ReceptorTooLargeError",
    "Station",
    "aimed",
    "expose",
    "fitting",
    "front_opening_mm",
    "has_room",
    "station",
]

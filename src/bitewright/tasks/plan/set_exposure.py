"""An exposure from the numbers that hands set: a receptor seated, a tube aimed at it."""

from dataclasses import dataclass, replace

from bitewright.exposing.aim import Aim
from bitewright.exposing.exposure import Exposures, Station, aimed
from bitewright.exposing.placement import Placement
from bitewright.exposing.seating import Seat, nearest_fit_mm, seat


@dataclass(frozen=True, slots=True, kw_only=True)
class HandSetting:
    """Where hands put receptor and tube at a station. [mm, deg]

    The numbers are those of `Placement` and `Aim`; ``lingual_mm`` None lays the receptor as near
    to the teeth as it fits.
    """

    forward_mm: float = 0.0
    lingual_mm: float | None = None
    height_mm: float = 0.0
    turn_deg: float = 0.0
    tilt_deg: float = 0.0
    roll_deg: float = 0.0
    ring_offset_deg: float = 0.0
    vertical_deg: float = 0.0
    tube_forward_mm: float = 0.0
    tube_up_mm: float = 0.0

    @property
    def aim(self) -> Aim:
        """The tube's part of it."""
        return Aim(
            ring_offset_deg=self.ring_offset_deg,
            vertical_deg=self.vertical_deg,
            tube_forward_mm=self.tube_forward_mm,
            tube_up_mm=self.tube_up_mm,
        )

    @property
    def of_receptor(self) -> "HandSetting":
        """The receptor's part of it, alike wherever the tube stands."""
        return replace(
            self, ring_offset_deg=0.0, vertical_deg=0.0, tube_forward_mm=0.0, tube_up_mm=0.0
        )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SeatedReceptor:
    """A receptor where it was put."""

    placement: Placement
    seat: Seat


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SetExposure:
    """One exposure as it was set."""

    placement: Placement
    aim: Aim
    exposure: Exposures


def set_exposure(at: Station, setting: HandSetting) -> SetExposure:
    """Seat the receptor and aim the tube; whether the receptor fits there is not asked.

    Raises
    ------
    BitewrightError
        If a number lies beyond what can be seated or aimed.
    """
    return aim_at(at, seat_receptor(at, setting), setting.aim)


def seat_receptor(at: Station, setting: HandSetting) -> SeatedReceptor:
    """Seat the receptor; errors as `set_exposure`."""
    placement = Placement(
        forward_mm=setting.forward_mm,
        height_mm=setting.height_mm,
        turn_deg=setting.turn_deg,
        tilt_deg=setting.tilt_deg,
        roll_deg=setting.roll_deg,
    )
    lingual_mm = setting.lingual_mm
    if lingual_mm is None:
        lingual_mm = float(nearest_fit_mm(at.seating, placement)[0])
    placement = replace(placement, lingual_mm=lingual_mm)
    return SeatedReceptor(placement=placement, seat=seat(at.seating, placement))


def aim_at(at: Station, receptor: SeatedReceptor, aim: Aim) -> SetExposure:
    """Aim the tube at a receptor that is seated; errors as `set_exposure`."""
    exposure = aimed(at, receptor.seat, aim)
    return SetExposure(placement=receptor.placement, aim=aim, exposure=exposure)


__all__ = [
    "HandSetting",
    "SeatedReceptor",
    "SetExposure",
    "aim_at",
    "seat_receptor",
    "set_exposure",
]

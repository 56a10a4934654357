"""How far one exposure is off the best one, as movements of hand; the exposure it gives."""

from dataclasses import dataclass, fields

from bitewright.exposing.aim import Aim
from bitewright.exposing.exposure import Exposures, aimed, fitting
from bitewright.exposing.placement import Placement
from bitewright.exposing.seating import nearest_fit_mm, seat
from bitewright.planning.best_aim import Plan


@dataclass(frozen=True, slots=True, kw_only=True)
class HandSlip:
    """Off the best exposure by this much; signs as in `Placement` and `Aim`. [mm, deg]

    ``swing_deg``: the tube to the front about the receptor's middle. ``turn_deg``: the receptor's
    front end to the opposite canine, ring and tube with it. ``forward_mm``: the receptor to the
    front, the tube with it. ``tube_forward_mm`` and ``tube_up_mm``: the tube alone, sideways.
    """

    swing_deg: float = 0.0
    vertical_deg: float = 0.0
    turn_deg: float = 0.0
    forward_mm: float = 0.0
    height_mm: float = 0.0
    roll_deg: float = 0.0
    tube_forward_mm: float = 0.0
    tube_up_mm: float = 0.0

    def __add__(self, other: "HandSlip") -> "HandSlip":
        """Both one after the other."""
        names = [field.name for field in fields(self)]
        return HandSlip(**{name: getattr(self, name) + getattr(other, name) for name in names})


def slipped_exposure(plan: Plan, slip: HandSlip) -> Exposures:
    """The exposure that is off a plan's by a slip; the receptor no nearer than it fits.

    Raises
    ------
    ReceptorTooLargeError, CannotOpenError
        If the receptor cannot be there.
    SettingValueError
        If no hand could set it.
    """
    of = plan.setting
    at = plan.station
    placement = Placement(
        forward_mm=of.forward_mm + slip.forward_mm,
        height_mm=slip.height_mm,
        turn_deg=of.turn_deg + slip.turn_deg,
        roll_deg=slip.roll_deg,
    )
    nearest_mm = float(nearest_fit_mm(at.seating, placement)[0])
    seated = seat(
        at.seating,
        Placement(
            forward_mm=placement.forward_mm,
            height_mm=placement.height_mm,
            turn_deg=placement.turn_deg,
            roll_deg=placement.roll_deg,
            lingual_mm=max(nearest_mm, of.lingual_mm),
        ),
    )
    aim = Aim(
        ring_offset_deg=of.ring_offset_deg + slip.swing_deg,
        vertical_deg=of.vertical_deg + slip.vertical_deg,
        tube_forward_mm=slip.tube_forward_mm,
        tube_up_mm=slip.tube_up_mm,
    )
    return fitting(aimed(at, seated, aim))


__all__ = ["HandSlip", "slipped_exposure"]

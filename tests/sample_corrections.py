"""Corrections of known errors: the standard mouth's best plan, exposed with something off."""

from dataclasses import dataclass, replace
from functools import lru_cache
from math import radians, sin

from bitewright.explanation.correction import (
    Cause,
    CauseName,
    Correction,
    Estimated,
    Movement,
    Need,
    Part,
    Verdict,
)
from bitewright.explanation.likely_causes import CAUSES
from bitewright.exposing.exposure import Exposures, expose
from bitewright.exposing.seating import nearest_fit_mm
from bitewright.planning.best_aim import Plan, best_aim
from bitewright.quality.views import view
from tests.scenes import station_of

LEAST = {"deg": 2.0, "mm": 1.0}
SPREAD = {"deg": 2.0, "mm": 1.0}
RIM_RADIUS_MM = 60.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sample:
    """A plan, the exposure something was off in, and the correction between them."""

    plan: Plan
    present: Exposures
    correction: Correction


@lru_cache(maxsize=16)
def plan_of(view_name: str = "right-premolar", receptor: str = "sensor-2") -> Plan:
    """The best plan of the standard mouth."""
    return best_aim(view(view_name), station_of(view_name, receptor))


def sample(
    view_name: str = "right-premolar",
    *,
    receptor: str = "sensor-2",
    swing_deg: float = 0.0,
    vertical_deg: float = 0.0,
    forward_mm: float = 0.0,
    height_mm: float = 0.0,
    roll_deg: float = 0.0,
) -> Sample:
    """An exposure off from the plan by this much: tube or receptor too far to the front, up."""
    plan = plan_of(view_name, receptor)
    setting = plan.setting
    place = replace(
        setting.placement(),
        forward_mm=setting.forward_mm + forward_mm,
        height_mm=height_mm,
        roll_deg=roll_deg,
    )
    place = replace(place, lingual_mm=float(nearest_fit_mm(plan.station.seating, place)[0]))
    aim = replace(
        setting.aim(),
        ring_offset_deg=setting.ring_offset_deg + swing_deg,
        vertical_deg=setting.vertical_deg + vertical_deg,
    )
    needed = {
        Part.SWING: -swing_deg,
        Part.VERTICAL: -vertical_deg,
        Part.FORWARD: -forward_mm,
        Part.HEIGHT: -height_mm,
        Part.ROLL: -roll_deg,
    }
    return Sample(
        plan=plan, present=expose(plan.station, place, aim), correction=correction_of(needed)
    )


def correction_of(needed: dict[Part, float], **changes: object) -> Correction:
    """A correction that needs these movements, each known to within `SPREAD`."""
    movements = sorted((_movement(part, needed.get(part, 0.0)) for part in Part), key=_weight)[::-1]
    moves = [each for each in movements if each.need is Need.MOVE]
    off = [each for each in moves if each.part in CAUSES]
    total = sum(abs(each.needed.value) for each in off)
    causes = tuple(
        Cause(
            name=CAUSES[each.part][1 if each.needed.value > 0 else 0],
            size=Estimated(
                value=abs(each.needed.value),
                low=min(abs(each.needed.low), abs(each.needed.high)),
                high=max(abs(each.needed.low), abs(each.needed.high)),
            ),
            unit=each.unit,
            weight=abs(each.needed.value) / total,
        )
        for each in off
    )
    nothing = Cause(
        name=CauseName.NONE, size=Estimated(value=0.0, low=0.0, high=0.0), unit="deg", weight=1.0
    )
    made = Correction(
        verdict=Verdict.MOVE if moves else Verdict.NOTHING,
        movements=tuple(movements),
        causes=causes or (nothing,),
        settling_marks=(),
        misfit=0.7,
        strangeness=1.0,
        is_unlike=False,
        doubtful_marks=(),
        rim_radius_mm=RIM_RADIUS_MM,
        beam_margin_mm=2.5,
    )
    return replace(made, **changes)


def unsure(correction: Correction, part: Part, *, value: float, spread: float) -> Correction:
    """The same, one movement unknown in its direction, and nothing to be told."""
    needed = Estimated(value=value, low=value - spread, high=value + spread)
    movements = tuple(
        Movement(part=part, needed=needed, need=Need.UNSURE) if each.part is part else each
        for each in correction.movements
    )
    return replace(
        correction,
        verdict=Verdict.CANNOT_TELL,
        movements=movements,
        settling_marks=("46.mesial", "15.lingual.cusp"),
    )


def _movement(part: Part, value: float) -> Movement:
    bare = Movement(part=part, needed=Estimated(value=value, low=value, high=value), need=Need.STAY)
    spread = SPREAD[bare.unit] if value else 0.4
    needed = Estimated(value=value, low=value - spread, high=value + spread)
    need = Need.MOVE if abs(value) > LEAST[bare.unit] else Need.STAY
    rim = None
    if part in (Part.SWING, Part.VERTICAL):
        low, middle, high = (
            2 * RIM_RADIUS_MM * sin(radians(angle) / 2)
            for angle in (needed.low, needed.value, needed.high)
        )
        rim = Estimated(value=middle, low=low, high=high)
    return replace(bare, needed=needed, need=need, rim=rim)


def _weight(movement: Movement) -> float:
    return abs(movement.needed.value) / LEAST[movement.unit]


__all__ = ["Sample", "correction_of", "plan_of", "sample", "unsure"]

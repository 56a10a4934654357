"""Teeth held apart by a receptor that was misplaced: it is mended, and they are not bitten shut."""

from collections.abc import Mapping
from dataclasses import replace

from bitewright.explanation.correction import (
    CauseName,
    Estimated,
    HeldApart,
    Movement,
    Need,
    Part,
    Spared,
)
from bitewright.explanation.likeliest_faults import FaultFound
from bitewright.explanation.needs import TOLD, WORTH, is_one_way, need_of

SURE_ENOUGH = 0.5
"""Chance from which a receptor's place is said to hold the teeth apart, perhaps. Our choice."""

SURELY = 0.9
"""Chance from which that is said as sure and the receptor told to move. Our choice."""


def held_by(
    amounts: dict[Part, Estimated], faults: Mapping[CauseName, FaultFound]
) -> HeldApart | None:
    """Which misplacement of the receptor keeps teeth apart, if one does: it is mended, not bitten.

    A receptor set too high is held down by the palate, one set too low held up by the floor; one
    too far to the front lies where both are shallow.
    """
    if amounts[Part.CLOSURE].value < WORTH[Part.CLOSURE]:
        return None
    chances = {
        Part.HEIGHT: max(
            faults[name].chance
            for name in (CauseName.RECEPTOR_TOO_HIGH, CauseName.RECEPTOR_TOO_LOW)
        ),
        Part.FORWARD: faults[CauseName.RECEPTOR_TOO_FAR_FORWARD].chance,
    }
    likelier = max(chances, key=lambda part: chances[part])
    if chances[likelier] < SURE_ENOUGH:
        return None
    return HeldApart(by=likelier, is_sure=chances[likelier] >= SURELY)


def freed_teeth(
    held: HeldApart,
    amounts: dict[Part, Estimated],
    of_hand: dict[Part, Estimated],
    needs: dict[Part, Need],
    faults: Mapping[CauseName, FaultFound],
) -> dict[Part, Estimated]:
    """Tell the movement that frees teeth held apart, not their closing; what the hand did.

    Further back, palate and floor let the receptor up or down by themselves. What is not surely
    held is perhaps moved, and perhaps bitten. Changes ``amounts`` and ``needs`` of all movements,
    and returns the movements of the hand, by which causes are named. [deg, mm]
    """
    by = held.by
    amounts[by] = _away(by, amounts[by], faults)
    needs[by] = need_of(by, amounts[by])
    if by is Part.HEIGHT and not held.is_sure and needs[by] is Need.MOVE:
        needs[by] = Need.PERHAPS
    needs[Part.CLOSURE] = Need.STAY if held.is_sure else Need.PERHAPS
    hand = of_hand[Part.HEIGHT] if by is Part.FORWARD else amounts[Part.HEIGHT]
    if need_of(Part.HEIGHT, hand) not in TOLD or hand.value * amounts[Part.HEIGHT].value <= 0.0:
        needs[Part.HEIGHT] = Need.STAY
    of_all = amounts | {Part.HEIGHT: hand}
    return {
        part: amount
        for part, amount in of_all.items()
        if part is not Part.CLOSURE or not held.is_sure
    }


def told_as_held(movement: Movement, held: HeldApart | None) -> Movement:
    """A movement with why it is only perhaps, where that is for what is not surely held."""
    rests = held is not None and not held.is_sure and movement.part in (held.by, Part.CLOSURE)
    if not rests or movement.need is not Need.PERHAPS:
        return movement
    if not is_one_way(movement.part, movement.needed):
        return movement
    return replace(movement, spared=Spared.NOT_SURELY_HELD)


def _away(part: Part, amount: Estimated, faults: Mapping[CauseName, FaultFound]) -> Estimated:
    """The movement of the hand that frees teeth held apart."""
    if part is not Part.HEIGHT:
        return amount
    high, low = (faults[name] for name in (CauseName.RECEPTOR_TOO_HIGH, CauseName.RECEPTOR_TOO_LOW))
    if low.chance > high.chance:
        return low.size
    return Estimated(value=-high.size.value, low=-high.size.high, high=-high.size.low)


__all__ = ["freed_teeth", "held_by", "told_as_held"]

"""Teeth held apart by a receptor that was misplaced: it is mended, and they are not bitten shut."""

from collections.abc import Mapping

from bitewright.explanation.correction import CauseName, Estimated, Need, Part
from bitewright.explanation.likeliest_faults import FaultFound
from bitewright.explanation.needs import TOLD, WORTH, need_of

SURE_ENOUGH = 0.5
"""Chance from which a receptor's place is said to hold the teeth apart. Our choice."""


def held_by(amounts: dict[Part, Estimated], faults: Mapping[CauseName, FaultFound]) -> Part | None:
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
    return likelier if chances[likelier] >= SURE_ENOUGH else None


def freed_teeth(
    held: Part,
    amounts: dict[Part, Estimated],
    of_hand: dict[Part, Estimated],
    needs: dict[Part, Need],
    faults: Mapping[CauseName, FaultFound],
) -> dict[Part, Estimated]:
    """Tell the movement that frees teeth held apart, not their closing; what the hand did.

    Further back, palate and floor let the receptor up or down by themselves.
    """
    amounts[held] = _away(held, amounts[held], faults)
    needs[held] = need_of(held, amounts[held])
    needs[Part.CLOSURE] = Need.STAY
    hand = of_hand[Part.HEIGHT] if held is Part.FORWARD else amounts[Part.HEIGHT]
    if need_of(Part.HEIGHT, hand) not in TOLD or hand.value * amounts[Part.HEIGHT].value <= 0.0:
        needs[Part.HEIGHT] = Need.STAY
    of_all = amounts | {Part.HEIGHT: hand}
    return {part: amount for part, amount in of_all.items() if part is not Part.CLOSURE}


def _away(part: Part, amount: Estimated, faults: Mapping[CauseName, FaultFound]) -> Estimated:
    """The movement of the hand that frees teeth held apart."""
    if part is not Part.HEIGHT:
        return amount
    high, low = (faults[name] for name in (CauseName.RECEPTOR_TOO_HIGH, CauseName.RECEPTOR_TOO_LOW))
    if low.chance > high.chance:
        return low.size
    return Estimated(value=-high.size.value, low=-high.size.high, high=-high.size.low)


__all__ = ["freed_teeth", "held_by"]

"""What was likely wrong with an exposure, the likeliest and the costliest first."""

from collections.abc import Mapping
from dataclasses import replace

from bitewright.explanation.correction import Cause, CauseName, Estimated, Part, unit_of
from bitewright.explanation.likeliest_faults import FaultFound

HARM = {
    Part.SWING: 5.0,
    Part.VERTICAL: 6.0,
    Part.FORWARD: 3.0,
    Part.HEIGHT: 1.7,
    Part.ROLL: 5.0,
    Part.CLOSURE: 6.0,
}
"""How much of each about costs a film the same: what causes are ranked by. Our choice. [deg, mm]

The receptor's turn and tilt are no causes of their own: a film shows the beam against the teeth and
hardly which of ring and receptor was askew, so they count with the swing and the vertical angle.
"""

CAUSES = {
    Part.SWING: (CauseName.TUBE_TOO_FAR_FORWARD, CauseName.TUBE_TOO_FAR_BACK),
    Part.VERTICAL: (CauseName.TUBE_TOO_HIGH, CauseName.TUBE_TOO_LOW),
    Part.FORWARD: (CauseName.RECEPTOR_TOO_FAR_FORWARD, CauseName.RECEPTOR_TOO_FAR_BACK),
    Part.HEIGHT: (CauseName.RECEPTOR_TOO_HIGH, CauseName.RECEPTOR_TOO_LOW),
    Part.ROLL: (CauseName.RECEPTOR_ROLLED_FRONT_DOWN, CauseName.RECEPTOR_ROLLED_FRONT_UP),
    Part.CLOSURE: (CauseName.NOT_CLOSED, CauseName.NOT_CLOSED),
}
"""Cause by what it needs: a movement below nought, or above."""

LEAST_CHANCE = 0.1
"""A cause less likely is not named. Our choice."""

NOT_TOLD_APART, IN_PLACE = 0.3, 1.5
"""Another cause is named as the first one's alternative where, without the first, it costs a film
at least this share of what the first does without it, each by its chance; and is so many times as
likely without the first as with it. Our choice."""

NO_CAUSE = Cause(
    name=CauseName.NONE, size=Estimated(value=0.0, low=0.0, high=0.0), unit="", weight=1.0
)


def likely_causes(
    amounts: Mapping[Part, Estimated],
    faults: Mapping[CauseName, FaultFound],
    least: Mapping[Part, float],
) -> tuple[Cause, ...]:
    """Causes by how likely each is times what it costs a film; the first one's alternative second.

    Parameters
    ----------
    amounts : mapping of Part to Estimated
        Movements needed: a cause is named where one of at least ``least`` would mend it, and with
        its size. [deg, mm]
    faults : mapping of CauseName to FaultFound
    least : mapping of Part to float
    """
    costs = {}
    for part, amount in amounts.items():
        if part in CAUSES and abs(amount.value) >= least[part]:
            found = faults[_name(part, amount)]
            if found.chance >= LEAST_CHANCE:
                costs[part] = found.chance * abs(found.size.value) / HARM[part]
    total = sum(costs.values())
    if total <= 0.0:
        return (NO_CAUSE,)
    first, *rest = sorted(costs, key=lambda part: -costs[part])
    other = _alternative(first, rest, amounts, faults)
    ordered = [first, *rest] if other is None else [first, other, *(p for p in rest if p != other)]
    return tuple(
        replace(_cause(part, amounts[part], costs[part] / total), is_alternative=part is other)
        for part in ordered
    )


def _alternative(
    first: Part,
    rest: list[Part],
    amounts: Mapping[Part, Estimated],
    faults: Mapping[CauseName, FaultFound],
) -> Part | None:
    """Which other cause would do in the first one's place, costing as much; None if none would.

    It must be likelier without the first than with it: else the two come together, or have nothing
    to do with each other.
    """
    name = _name(first, amounts[first])
    it = faults[name]
    costs = {}
    for part in rest:
        other = _name(part, amounts[part])
        found, instead = faults[other], it.instead.get(other, 0.0)
        without = instead / max(1.0 - it.chance, LEAST_CHANCE)
        beside = (found.chance - instead) / max(it.chance, LEAST_CHANCE)
        alone = found.instead.get(name, 0.0) * abs(it.size.value) / HARM[first]
        cost = instead * abs(found.size.value) / HARM[part]
        if without > IN_PLACE * beside and cost >= NOT_TOLD_APART * alone:
            costs[part] = cost
    return max(costs, key=lambda part: costs[part], default=None)


def _name(part: Part, needed: Estimated) -> CauseName:
    below, above = CAUSES[part]
    return below if needed.value < 0.0 else above


def _cause(part: Part, needed: Estimated, weight: float) -> Cause:
    size = needed
    if needed.value < 0.0:
        size = Estimated(value=-needed.value, low=-needed.high, high=-needed.low)
    size = Estimated(value=size.value, low=max(size.low, 0.0), high=size.high)
    return Cause(name=_name(part, needed), size=size, unit=unit_of(part), weight=weight)


__all__ = ["CAUSES", "HARM", "NO_CAUSE", "likely_causes"]

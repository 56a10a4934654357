"""What was likely wrong with an exposure, the likeliest and the costliest first."""

from collections.abc import Mapping
from dataclasses import replace

from bitewright.explanation.correction import Cause, CauseName, Estimated, Need, Part, unit_of
from bitewright.explanation.harm import HARM
from bitewright.explanation.likeliest_faults import FaultFound
from bitewright.explanation.needs import TOLD, WORTH

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
"""A cause less likely is not named, but there is no other. Our choice."""

SURE = 0.8
"""How likely the first cause has to be the costliest for no other to be named in its place. Chosen
on 80 single faults of run 931, so that of causes told alone nine in ten are right."""

NO_CAUSE = Cause(
    name=CauseName.NONE, size=Estimated(value=0.0, low=0.0, high=0.0), unit="", weight=1.0
)


def likely_causes(
    amounts: Mapping[Part, Estimated],
    faults: Mapping[CauseName, FaultFound],
    needs: Mapping[Part, Need],
) -> tuple[Cause, ...]:
    """Causes by how likely each is times what it costs a film; the first one's alternative second.

    Parameters
    ----------
    amounts : mapping of Part to Estimated
        Movements needed, of the hand: a cause is named with the size of the one that mends it.
        [deg, mm]
    faults : mapping of CauseName to FaultFound
    needs : mapping of Part to Need
        As the movements are told: a cause is named where its movement is told as needed or as
        perhaps, the alternative also where it is not told.
    """
    amounts = {part: amount for part, amount in amounts.items() if _has_a_cause(part, amount)}
    named = {
        part: _name(part, amount)
        for part, amount in amounts.items()
        if needs[part] in TOLD and abs(amount.value) >= WORTH[part]
    }
    if not named:
        return (NO_CAUSE,)
    ranked = sorted(named, key=lambda part: -_cost(part, faults[named[part]]))
    first, rest = ranked[0], [p for p in ranked[1:] if faults[named[p]].chance >= LEAST_CHANCE]
    causes = [_cause(part, named[part], amounts[part], faults) for part in (first, *rest)]
    if faults[named[first]].costliest < SURE:
        other = _alternative(first, amounts, named, faults)
        if other is not None:
            causes[1:] = [other, *(each for each in causes[1:] if each.name is not other.name)]
    total = max(sum(cause.weight for cause in causes), LEAST_WEIGHT)
    return tuple(replace(cause, weight=cause.weight / total) for cause in causes)


def as_needed(causes: tuple[Cause, ...], needs: Mapping[Part, Need]) -> tuple[Cause, ...]:
    """The same causes, those first whose movement is told as needed.

    None of them is told in another's place. Where the one in the first cause's place comes to stand
    before it, the two change their parts.

    Parameters
    ----------
    causes : tuple of Cause
        As `likely_causes` has them.
    needs : mapping of Part to Need
        As the movements are told.
    """
    sure = [replace(each, is_alternative=False) for each in causes if is_needed(each, needs)]
    if not sure:
        return causes
    rest = [each for each in causes if not is_needed(each, needs)]
    if rest and rest[0] is causes[0] and any(e.is_alternative for e in causes if e not in rest):
        rest[0] = replace(rest[0], is_alternative=True)
    return (*sure, *rest)


def is_needed(cause: Cause, needs: Mapping[Part, Need]) -> bool:
    """Whether the movement that mends a cause is told as needed."""
    return any(cause.name in CAUSES[part] for part in CAUSES if needs[part] is Need.MOVE)


LEAST_WEIGHT = 1e-12


def _alternative(
    first: Part,
    amounts: Mapping[Part, Estimated],
    named: Mapping[Part, CauseName],
    faults: Mapping[CauseName, FaultFound],
) -> Cause | None:
    """Which other cause is the likeliest to be the costliest one; None if none is as large.

    What is not named of itself must be worth moving somewhere within its interval.
    """
    found = {}
    for part, amount in amounts.items():
        if part is first:
            continue
        for name in {named[part]} if part in named else _within(part, amount):
            found[name] = part
    likeliest = max(found, key=lambda name: faults[name].costliest, default=None)
    if likeliest is None:
        return None
    part = found[likeliest]
    size = amounts[part] if part in named else _away(part, likeliest, faults[likeliest].size)
    return replace(_cause(part, likeliest, size, faults), is_alternative=True)


def _has_a_cause(part: Part, amount: Estimated) -> bool:
    """Whether a fault would need that movement: none closes teeth too far on a bite block."""
    return part in CAUSES and (part is not Part.CLOSURE or amount.value > 0.0)


def _within(part: Part, amount: Estimated) -> set[CauseName]:
    """Causes by a movement's interval: of each way in which it reaches what is worth moving."""
    below, above = CAUSES[part]
    found = {above} if amount.high >= WORTH[part] else set()
    return found | ({below} if amount.low <= -WORTH[part] and part is not Part.CLOSURE else set())


def _away(part: Part, name: CauseName, size: Estimated) -> Estimated:
    """The movement that mends a fault of a size."""
    if name is CAUSES[part][1]:
        return size
    return Estimated(value=-size.value, low=-size.high, high=-size.low)


def _cost(part: Part, found: FaultFound) -> float:
    """What a fault is expected to cost a film."""
    return found.chance * abs(found.size.value) / HARM[part]


def _name(part: Part, needed: Estimated) -> CauseName:
    below, above = CAUSES[part]
    return below if needed.value < 0.0 else above


def _cause(
    part: Part, name: CauseName, needed: Estimated, faults: Mapping[CauseName, FaultFound]
) -> Cause:
    """A cause by the movement that mends it; its weight is its cost yet."""
    size = needed
    if needed.value < 0.0:
        size = Estimated(value=-needed.value, low=-needed.high, high=-needed.low)
    return Cause(
        name=name,
        size=Estimated(value=size.value, low=max(size.low, 0.0), high=size.high),
        unit=unit_of(part),
        weight=_cost(part, faults[name]),
        chance=faults[name].costliest,
    )


__all__ = ["CAUSES", "NO_CAUSE", "SURE", "as_needed", "is_needed", "likely_causes"]

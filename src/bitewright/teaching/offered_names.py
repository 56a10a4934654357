"""Which names are offered for a fault, so that the choices alone do not tell which is right."""

from itertools import combinations

import numpy as np

from bitewright.teaching.fault_names import PlantedFault
from bitewright.teaching.handled import HANDLED
from bitewright.teaching.planted import PLANTINGS

PAIRS_OFFERED = 2
"""So many pairs of opposites in the aim are offered. Our choice."""

HANDLED_OFFERED = 2
"""So many faults of handling are offered. Our choice."""

OPPOSITES = tuple(
    pair
    for pair in combinations(PLANTINGS, 2)
    if PLANTINGS[pair[0]].part == PLANTINGS[pair[1]].part
)
"""Faults of aiming that are each other's opposite."""


def offered_names(fault: PlantedFault, generator: np.random.Generator) -> tuple[PlantedFault, ...]:
    """A fault and five others, in an order that is drawn.

    Whatever the fault, they are two pairs of opposites in the aim and two faults of handling: who
    does not look at the film has nothing to choose by. A twin comes as often as any other.
    """
    own = [pair for pair in OPPOSITES if fault in pair]
    others = [pair for pair in OPPOSITES if fault not in pair]
    drawn = generator.permutation(len(others))[: PAIRS_OFFERED - len(own)]
    offered = [each for pair in (*own, *(others[k] for k in drawn)) for each in pair]
    by_hand = [each for each in HANDLED if each is not fault]
    wanted = HANDLED_OFFERED - (fault in HANDLED)
    offered += [by_hand[k] for k in generator.permutation(len(by_hand))[:wanted]]
    if fault in HANDLED:
        offered.append(fault)
    return tuple(offered[k] for k in generator.permutation(len(offered)))


__all__ = ["OPPOSITES", "offered_names"]

"""Names offered for a fault: what is right cannot be told from the choices alone."""

from collections import Counter

import numpy as np

from bitewright.teaching.fault_names import PlantedFault
from bitewright.teaching.handled import HANDLED
from bitewright.teaching.offered_names import OPPOSITES, offered_names
from bitewright.teaching.planted import accepted


def offered(fault: PlantedFault, times: int = 40) -> list[tuple[PlantedFault, ...]]:
    return [offered_names(fault, np.random.default_rng([k, 7])) for k in range(times)]


def test_whatever_the_fault_the_choices_are_made_alike() -> None:
    for fault in PlantedFault:
        for choices in offered(fault):
            assert fault in choices
            assert len(set(choices)) == 6
            assert sum(each in HANDLED for each in choices) == 2
            assert sum(set(pair) <= set(choices) for pair in OPPOSITES) == 2


def test_a_guess_from_the_choices_alone_is_right_no_more_often_than_chance() -> None:
    """Each way of guessing that the make-up of the choices allows, over all faults alike."""
    right: Counter[str] = Counter()
    chance, asked = 0.0, 0
    generator = np.random.default_rng(3)
    for fault in PlantedFault:
        for choices in offered(fault, 120):
            is_right = [each in accepted(fault) for each in choices]
            by_hand = [k for k, each in enumerate(choices) if each in HANDLED]
            aimed = [k for k in range(len(choices)) if k not in by_hand]
            for way, among in (("handled", by_hand), ("aimed", aimed), ("any", range(6))):
                right[way] += is_right[int(generator.choice(list(among)))]
            chance += sum(is_right) / len(choices)
            asked += 1
    for way, count in right.items():
        assert count / asked < chance / asked + 0.04, way


def test_a_twin_is_offered_as_often_as_any_other() -> None:
    fault = PlantedFault.TUBE_TOO_FAR_BACK
    counts = Counter(each for choices in offered(fault, 1200) for each in choices)
    others = [counts[each] for each in PlantedFault if each not in HANDLED]
    opposite, own = 1200, 1200
    assert counts[PlantedFault.TURNED_TO_TEETH] == counts[PlantedFault.TURNED_TO_CANINE]
    assert sum(others) == own + opposite + 2 * 1200
    assert abs(counts[PlantedFault.TURNED_TO_TEETH] - 200) < 60  # one pair of six

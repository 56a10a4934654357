"""How arches close: touching in front and behind, overlapping in front as people's do."""

from dataclasses import replace

import numpy as np
import pytest

from bitewright.mouth.arches import place_arches
from bitewright.mouth.bite import clearances
from bitewright.mouth.mouth import Mouth, textbook_mouth
from bitewright.mouth.population_mouth import population_mouth
from bitewright.mouth.standard_mouth import standard_mouth


@pytest.mark.parametrize("mouth", [standard_mouth(), textbook_mouth()], ids=lambda m: m.name)
def test_closed_arches_touch_at_premolars_as_near_as_at_molars(mouth: Mouth) -> None:
    arches = place_arches(mouth)
    front, behind = clearances(arches.upper, arches.lower, np.zeros(3))
    assert front.mean_mm == pytest.approx(behind.mean_mm, abs=0.05)
    assert min(front.least_mm, behind.least_mm) == pytest.approx(0.0, abs=0.05)


@pytest.mark.parametrize("mouth", [standard_mouth(), textbook_mouth()], ids=lambda m: m.name)
def test_incisors_overlap_as_peoples_do(mouth: Mouth) -> None:
    """Mean overbite 2.9 mm: Brunelle, Bhat and Lipton, J Dent Res 1996;75(spec):706-13.

    Overjet 1 to 3 mm in most adults: as in `facts`, a survey of adults of 18 to 50.
    """
    front = place_arches(mouth).lower_front_mouth
    assert front[2] == pytest.approx(2.9, abs=0.6)
    assert 1.0 < front[1] < 3.0


def test_drawn_arches_meet_in_front_and_behind_and_seldom_leave_the_front_open() -> None:
    """Of drawn mouths some bite unevenly, as far as turning the whole arch cannot mend it."""
    fronts, uneven = [], []
    for seed in range(30):
        arches = place_arches(population_mouth(seed, may_lack_teeth=False))
        front, behind = clearances(arches.upper, arches.lower, np.zeros(3))
        uneven.append(abs(front.mean_mm - behind.mean_mm))
        fronts.append(arches.lower_front_mouth[2])
        assert min(front.least_mm, behind.least_mm) > -0.1
    assert np.quantile(uneven, 0.8) < 0.3
    assert 0.8 < np.mean(fronts) < 3.5
    assert np.mean(np.array(fronts) < -1.0) < 0.1


def test_worn_premolars_let_the_front_close_further_and_worn_molars_turn_it_open() -> None:
    base = standard_mouth()
    usual = place_arches(base).lower_front_mouth[2]

    def worn_at(*places: int) -> float:
        teeth = {
            code: replace(tooth, wear_mm=0.8) if code % 10 in places else tooth
            for code, tooth in base.teeth.items()
        }
        return float(place_arches(replace(base, teeth=teeth)).lower_front_mouth[2])

    assert worn_at(4, 5) > usual + 0.3
    assert worn_at(6, 7) < usual - 0.3


def test_arches_without_premolars_or_without_back_teeth_still_close() -> None:
    base = standard_mouth()
    for kept in (lambda code: code % 10 not in (4, 5), lambda code: code % 10 <= 3):
        teeth = {code: tooth for code, tooth in base.teeth.items() if kept(code)}
        arches = place_arches(replace(base, teeth=teeth, contacts={}))
        assert np.isfinite(arches.mouth_from_lower.shift_mm).all()
        _, every = clearances(arches.upper, arches.lower, np.zeros(3))
        assert every.least_mm == pytest.approx(0.0, abs=0.05)

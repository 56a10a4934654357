"""Films for the blind look come from mouths worn as people's are, each plate elsewhere."""

import numpy as np

from bitewright.mouth.drawn_mouth import drawn_mouth
from builders.blind_films import scratched, worn_mouth

BACK = {4, 5, 6, 7}


def test_a_worn_mouth_is_the_drawn_one_with_parts() -> None:
    worn, drawn = worn_mouth(3), drawn_mouth(3, third_molars=True)
    for code, tooth in worn.teeth.items():
        assert tooth.md_crown_mm == drawn.teeth[code].md_crown_mm
        assert code % 10 in BACK or not tooth.parts
    assert worn_mouth(3) == worn


def test_about_as_many_teeth_are_filled_as_asked() -> None:
    teeth = [
        tooth
        for seed in range(12)
        for code, tooth in worn_mouth(seed).teeth.items()
        if code % 10 in BACK
    ]
    filled = [any(part.kind == "filling" for part in tooth.parts) for tooth in teeth]
    assert abs(np.mean(filled) - 0.7) < 0.12


def test_wear_brightens_and_lies_elsewhere_on_each_film() -> None:
    grey = np.full((300, 400), 90.0, dtype=np.float32)
    one, other = (scratched(grey, 0.1, np.random.default_rng(seed)) for seed in (1, 2))
    for worn in (one, other):
        assert 0.0005 < np.mean(worn > 95.0) < 0.1
        assert worn.min() >= 89.9
    inside = np.s_[50:-50, 50:-50]  # edges wear on every plate
    assert np.corrcoef(one[inside].ravel(), other[inside].ravel())[0, 1] < 0.2

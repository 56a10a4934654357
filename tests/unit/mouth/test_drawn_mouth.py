"""Drawn mouths: the same by the same seed, as different as asked, with closed solids."""

import numpy as np
import pytest

from bitewright.mouth.drawn_mouth import drawn_mouth
from bitewright.mouth.mouth import textbook_mouth
from bitewright.mouth.outlines import build_outlines
from bitewright.solids.tooth_shells import tooth_shells


def test_a_seed_gives_the_same_mouth_and_another_another() -> None:
    assert drawn_mouth(3) == drawn_mouth(3)
    assert drawn_mouth(3) != drawn_mouth(4)


def test_no_spread_gives_the_textbooks_sizes() -> None:
    plain, base = drawn_mouth(7, spread=0.0), textbook_mouth()
    for code, tooth in plain.teeth.items():
        assert tooth.md_crown_mm == pytest.approx(base.teeth[code].md_crown_mm)
        assert tooth.rotation_deg == base.teeth[code].rotation_deg
        assert tooth.crest_mesial_mm == base.teeth[code].crest_mesial_mm


def test_mouths_differ_by_the_stated_spread() -> None:
    base = textbook_mouth().teeth[46].md_crown_mm
    widths = np.array([drawn_mouth(seed).teeth[46].md_crown_mm / base for seed in range(300)])
    assert widths.mean() == pytest.approx(1.0, abs=0.01)
    assert widths.std() == pytest.approx(np.hypot(0.05, 0.015), rel=0.15)


def test_people_are_of_different_ages_and_the_older_have_worn_more() -> None:
    mouths = [drawn_mouth(seed) for seed in range(300)]
    ages = np.array([mouth.age_years for mouth in mouths])
    worn = np.array([mouth.teeth[46].wear_mm for mouth in mouths])
    assert ages.mean() == pytest.approx(42.0, abs=2.0)
    assert ages.min() >= 18.0
    assert ages.max() <= 80.0
    assert worn.max() <= 0.8
    assert np.median(worn[ages > 50.0]) > 1.5 * np.median(worn[ages < 35.0]) > 0.05
    plain = drawn_mouth(7, spread=0.0)
    assert plain.age_years == textbook_mouth().age_years
    assert not any(tooth.wear_mm for tooth in plain.teeth.values())


def test_third_molars_leave_the_other_teeth_as_they_are() -> None:
    with_them, without = drawn_mouth(5, third_molars=True), drawn_mouth(5)
    assert set(with_them.teeth) - set(without.teeth) == {18, 28, 38, 48}
    assert all(with_them.teeth[code] == tooth for code, tooth in without.teeth.items())


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(1, 11))
def test_every_solid_of_ten_drawn_mouths_is_closed_and_wound_outward(seed: int) -> None:
    outlines = build_outlines(drawn_mouth(seed))
    for shells in tooth_shells(outlines, outlines.codes):
        for mesh in (shells.outer, shells.dentine, shells.pulp):
            assert mesh.unmatched_edge_count() == 0, shells.code
            assert mesh.volume_mm3 > 0.0, shells.code

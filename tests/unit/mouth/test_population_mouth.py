"""Mouths drawn from a population of real crowns: valid, settled, and as various as their source."""

from dataclasses import replace
from functools import lru_cache
from itertools import pairwise

import numpy as np
import pytest

from bitewright.mouth.lost_teeth import without_tooth
from bitewright.mouth.mouth import Mouth, mirrored_code
from bitewright.mouth.mouth_description import mouth_from_description, mouth_to_description
from bitewright.mouth.outlines import Outlines, build_outlines
from bitewright.mouth.population_mouth import Regularity, population_mouth
from bitewright.mouth.population_table import crown_kind, kind_place
from bitewright.mouth.standard_mouth import standard_mouth
from bitewright.mouth.tooth_forms import is_right

SEEDS = range(40)


@lru_cache(maxsize=64)
def drawn(seed: int) -> Mouth:
    return population_mouth(seed)


@lru_cache(maxsize=64)
def built(seed: int) -> Outlines:
    return build_outlines(drawn(seed))


def test_a_number_always_gives_the_same_mouth() -> None:
    assert population_mouth(3) == population_mouth(3)
    assert population_mouth(3) != population_mouth(4)


def test_neighbours_touch_or_stand_truly_apart() -> None:
    gaps = np.array([site.gap_mm for seed in SEEDS for site in built(seed).sites])
    assert gaps.min() > -0.02
    assert gaps.max() < 0.52
    assert 0.02 < (gaps > 0.07).mean() < 0.2


def test_turns_have_a_tail_and_end_at_no_one_angle() -> None:
    turns = np.abs(
        [t.rotation_deg for seed in SEEDS for t in drawn(seed).teeth.values() if t.present]
    )
    assert turns.max() > 26.0
    assert turns.max() <= 40.0
    assert 0.004 < (turns > 22.0).mean() < 0.03
    far = turns[turns > 1.0]
    assert len(np.unique(far.round(6))) == len(far)


def test_every_drawn_mouth_is_built_whole() -> None:
    for seed in SEEDS:
        outlines = built(seed)
        assert np.isfinite(outlines.flanks_mouth).all()
        assert np.isfinite(np.array(list(outlines.points_mouth.values()))).all()


@pytest.mark.parametrize("seed", [1, 4, 9])
def test_crowns_are_open_along_their_facets(seed: int) -> None:
    """The outlines' flanks overlap no more in the stated direction than beside it."""
    outlines = built(seed)
    for site in outlines.sites:
        if min(code % 10 for code in site.pair) < 3:
            continue
        flanks = [outlines.flanks_mouth[outlines.row[code]].reshape(-1, 3) for code in site.pair]
        at = site.open_azimuth_deg + np.array([0.0, -8.0, 8.0])
        along = [
            np.sin(np.deg2rad(at)) * (1 if is_right(site.pair[0]) else -1),
            -np.cos(np.deg2rad(at)),
        ]
        ways = np.stack(along)
        overlap = (flanks[1][:, :2] @ ways).max(axis=0) - (flanks[0][:, :2] @ ways).min(axis=0)
        assert overlap[0] < overlap[1:].min() + 0.02, (site.name, overlap)


def test_a_turned_flank_turns_its_contact_and_cusps_move_alone() -> None:
    base = standard_mouth()
    teeth = dict(base.teeth)
    teeth[15] = replace(teeth[15], distal_flank_deg=teeth[15].distal_flank_deg + 5.0)
    teeth[16] = replace(
        teeth[16],
        mesial_flank_deg=teeth[16].mesial_flank_deg + 5.0,
        lingual_cusps_mm=teeth[16].lingual_cusps_mm + 0.5,
    )
    before, after = build_outlines(base), build_outlines(replace(base, teeth=teeth))
    turned = after.site[15, 16].open_azimuth_deg - before.site[15, 16].open_azimuth_deg
    assert turned == pytest.approx(5.0, abs=1.0)
    forward = {
        name: (after.cusps.tips_tooth - before.cusps.tips_tooth)[after.row[16], k, 0]
        for k, name in enumerate(after.cusps.names[after.row[16]])
    }
    assert forward["mesiolingual"] == forward["distolingual"] == pytest.approx(0.5)
    assert forward["mesiobuccal"] == forward["distobuccal"] == 0.0


def test_a_tooth_out_of_line_turns_its_two_contacts_opposite_ways() -> None:
    base = standard_mouth()
    out = replace(base.teeth[15], out_of_line_mm=base.teeth[15].out_of_line_mm + 0.8)
    moved = build_outlines(replace(base, teeth={**base.teeth, 15: out}))
    still = build_outlines(base)
    ahead, behind = (
        moved.site[pair].open_azimuth_deg - still.site[pair].open_azimuth_deg
        for pair in ((14, 15), (15, 16))
    )
    assert ahead > 2.0
    assert behind < -2.0


def test_the_other_side_of_a_mirrored_mouth_is_the_same() -> None:
    mouth = drawn(2)
    mirrored = build_outlines(mouth.mirrored())
    for site in built(2).sites:
        other = mirrored.site[mirrored_code(site.pair[0]), mirrored_code(site.pair[1])]
        assert other.open_azimuth_deg == pytest.approx(site.open_azimuth_deg, abs=0.3)


def test_crowns_have_the_widths_and_spread_of_their_source() -> None:
    teeth = [drawn(seed).teeth[code] for seed in SEEDS for code in (36, 46)]
    teeth = [tooth for tooth in teeth if tooth.present]
    widths = np.log([tooth.md_crown_mm for tooth in teeth])
    kind, place = crown_kind(46), kind_place(46)
    shape = float(np.sqrt((kind.directions[:, 0] ** 2).sum()))
    expected = np.hypot(
        shape, np.linalg.norm((place.size_together, place.size_both_sides, place.size_alone))
    )
    assert widths.mean() == pytest.approx(np.log(kind.mean[0]), abs=0.03)
    assert widths.std() == pytest.approx(expected, rel=0.3)


def test_calm_mouths_stand_straighter_with_the_same_crowns() -> None:
    calm = [population_mouth(seed, regularity=Regularity.CALM) for seed in range(12)]
    turns = [
        np.std([mouth.teeth[code].rotation_deg for mouth in mouths for code in (14, 24, 35, 45)])
        for mouths in (calm, [drawn(seed) for seed in range(12)])
    ]
    assert turns[0] < 0.8 * turns[1]
    assert calm[5].teeth[16].md_crown_mm == drawn(5).teeth[16].md_crown_mm


def test_a_lost_tooth_leaves_a_gap_and_its_neighbours_tip_into_it() -> None:
    whole = standard_mouth()
    lost = without_tooth(whole, 46, np.random.default_rng(1))
    before, after = build_outlines(whole), build_outlines(lost)
    assert 46 not in after.row
    assert lost.teeth[47].tip_deg > whole.teeth[47].tip_deg + 3.0
    assert lost.teeth[45].tip_deg <= whole.teeth[45].tip_deg

    def space(outlines: Outlines) -> float:
        ends = [outlines.points_mouth[name] for name in ("45.distal.cej", "47.mesial.cej")]
        return float(np.linalg.norm(ends[0] - ends[1]))

    assert 0.4 * space(before) < space(after) < space(before)


def test_older_mouths_lack_more_teeth() -> None:
    lacking = {
        old: np.mean(
            [
                sum(not tooth.present for tooth in drawn(seed).teeth.values())
                for seed in SEEDS
                if (drawn(seed).age_years > 45) == old
            ]
        )
        for old in (True, False)
    }
    assert lacking[True] > lacking[False]


def test_a_drawn_mouth_comes_back_from_its_description() -> None:
    mouth = population_mouth(6, third_molars=True)
    assert mouth_from_description(mouth_to_description(mouth)) == mouth


def test_third_molars_leave_crowns_as_they_are() -> None:
    more = population_mouth(6, third_molars=True)
    for code, tooth in population_mouth(6).teeth.items():
        assert more.teeth[code].md_crown_mm == tooth.md_crown_mm
        assert more.teeth[code].mesial_flank_deg == tooth.mesial_flank_deg


def test_usual_crowns_meet_as_before_whatever_stands_elsewhere() -> None:
    """A crown with a shape of its own changes its own contacts, not how others are found."""
    base = standard_mouth()
    shaped = replace(base.teeth[17], squareness=-0.2)
    one, other = (
        build_outlines(mouth) for mouth in (base, replace(base, teeth={**base.teeth, 17: shaped}))
    )
    for pair in pairwise((11, 12, 13, 14, 15)):
        assert other.site[pair].open_azimuth_deg == pytest.approx(
            one.site[pair].open_azimuth_deg, abs=0.05
        )

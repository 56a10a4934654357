"""No drawn mouth has what no mouth has: 300 of them, looked through for every such thing."""

from dataclasses import replace

import numpy as np
import pytest

from bitewright.mouth.mouth import Mouth, textbook_mouth
from bitewright.mouth.outlines import Outlines, build_outlines
from bitewright.mouth.population_mouth import Regularity, overjet_mm, population_mouth
from bitewright.mouth.standard_mouth import standard_mouth
from trials.drawn_anatomy import anatomy_faults, least_inside_mm

HUNDREDS = (0, 100, 200)
OVERJET_DRAWN_ANEW = (12, 39, 69, 216, 269)
"""Mouths whose lower incisors stood 2.3 to 4.3 mm before the upper ones as first drawn."""


@pytest.mark.parametrize("first", HUNDREDS)
def test_no_drawn_mouth_has_what_no_mouth_has(first: int) -> None:
    found = {
        seed: [str(fault) for fault in faults]
        for seed in range(first, first + 100)
        if (faults := anatomy_faults(population_mouth(seed)))
    }
    assert found == {}


@pytest.mark.parametrize(
    "mouth",
    [
        standard_mouth(),
        standard_mouth(third_molars=True),
        textbook_mouth(),
        population_mouth(5, third_molars=True),
        population_mouth(5, regularity=Regularity.CALM),
    ],
    ids=lambda mouth: mouth.name,
)
def test_mouths_of_other_kinds_have_no_such_thing_either(mouth: Mouth) -> None:
    assert [str(fault) for fault in anatomy_faults(mouth)] == []


def test_mouths_drawn_anew_for_their_overjet_keep_their_teeth() -> None:
    for seed in OVERJET_DRAWN_ANEW:
        mouth, calm = population_mouth(seed), population_mouth(seed, regularity=Regularity.CALM)
        assert -2.0 <= overjet_mm(mouth) <= 10.0
        for code, tooth in mouth.teeth.items():
            assert tooth.bl_crown_mm == calm.teeth[code].bl_crown_mm
            assert tooth.mesial_flank_deg == calm.teeth[code].mesial_flank_deg


@pytest.mark.parametrize(
    ("code", "changed", "what"),
    [
        (13, {"torque_deg": 40.0}, "leans to cheek or tongue 13"),
        (46, {"tip_deg": -30.0}, "tips 46"),
        (35, {"rotation_deg": 80.0}, "turned 35"),
        (26, {"lingual_cusps_mm": -3.0}, "cusp inside its crown by 26.distolingual"),
        (37, {"crown_length_mm": 4.0}, "necks apart in height 36 37"),
    ],
)
def test_a_tooth_as_no_mouth_has_it_is_found(
    code: int, changed: dict[str, float], what: str
) -> None:
    base = standard_mouth()
    odd = replace(base, teeth={**base.teeth, code: replace(base.teeth[code], **changed)})
    assert any(str(fault).startswith(what) for fault in anatomy_faults(odd))


def test_jaws_and_roots_as_no_mouth_has_them_are_found() -> None:
    base = standard_mouth()
    behind = anatomy_faults(replace(base, molar_shift_mm=-6.0))
    assert {fault.what for fault in behind} == {"overjet"}
    teeth = {
        **base.teeth,
        44: replace(base.teeth[44], tip_deg=-25.0),
        43: replace(base.teeth[43], tip_deg=34.0),
    }
    assert "roots apart by" in {fault.what for fault in anatomy_faults(replace(base, teeth=teeth))}


@pytest.mark.parametrize("seed", [12, 14, 112, 262])
def test_drawn_necks_that_face_each_other_lie_near_in_height(seed: int) -> None:
    """Of the mouths in which crowns of other lengths and a deep curve set them 4.5 mm apart."""
    outlines = build_outlines(population_mouth(seed))
    for site in outlines.sites:
        front, back = (
            outlines.points_mouth[f"{code}.{side}.cej"][2]
            for code, side in zip(site.pair, ("distal", "mesial"), strict=True)
        )
        assert abs(front - back) < 3.52, site.name


def test_only_the_low_cusp_of_upper_second_molars_follows_its_side_in_part() -> None:
    base = standard_mouth()
    teeth = {code: replace(tooth, lingual_cusps_mm=0.0) for code, tooth in base.teeth.items()}
    usual = build_outlines(replace(base, teeth=teeth))
    moved = build_outlines(base)
    row, behind = moved.row[17], base.teeth[17].lingual_cusps_mm
    change = moved.cusps.tips_tooth[row, :, 0] - usual.cusps.tips_tooth[row, :, 0]
    by_name = dict(zip(moved.cusps.names[row], change.tolist(), strict=False))
    assert behind < -1.0
    assert by_name["distolingual"] == pytest.approx(0.5 * behind)
    assert by_name["mesiolingual"] == pytest.approx(behind)
    assert least_inside_mm(moved)["17.distolingual"] > 1.0


@pytest.mark.parametrize("lingual_mm", [-4.0, -3.0, -2.0, -1.0, 0.0, 1.0])
def test_the_low_cusp_has_a_tip_inside_its_crown_wherever_its_side_stands(
    lingual_mm: float,
) -> None:
    base = standard_mouth(third_molars=True)
    changed = {code: replace(base.teeth[code], lingual_cusps_mm=lingual_mm) for code in (17, 28)}
    outlines = build_outlines(replace(base, teeth={**base.teeth, **changed}))
    for code in changed:
        assert least_inside_mm(outlines)[f"{code}.distolingual"] > 0.6
        assert _over_the_valley_mm(outlines, code) > 0.08


@pytest.mark.parametrize("seed", [8, 12, 14, 35, 43])
def test_drawn_low_cusps_have_tips(seed: int) -> None:
    """Of the mouths in which such a cusp lay on a slope, or would lie furthest out."""
    outlines = build_outlines(population_mouth(seed, may_lack_teeth=False))
    for code in (17, 27):
        assert least_inside_mm(outlines)[f"{code}.distolingual"] > 0.6
        assert _over_the_valley_mm(outlines, code) > 0.08


def _over_the_valley_mm(outlines: Outlines, code: int) -> float:
    """How far the low cusp's tip, before wear, rises over the lowest place towards the next."""
    row = outlines.row[code]
    names = outlines.cusps.names[row]
    unworn = replace(outlines.cusps, worn_to_mm=np.full(len(outlines.codes), np.inf))
    tips = outlines.cusps.grown_tips(row)
    low = tips[names.index("distolingual")]
    others = [tip for name, tip in zip(names, tips, strict=True) if name != "distolingual"]
    share = np.linspace(0.0, 1.0, 201)
    return min(
        low[2]
        - unworn.height_mm(
            np.full(len(share), row),
            low[0] + share * (tip[0] - low[0]),
            low[1] + share * (tip[1] - low[1]),
        ).min()
        for tip in others
    )

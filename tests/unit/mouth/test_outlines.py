"""Outlines: contacts touch, crowns keep out of one another, the jaws meet."""

from dataclasses import replace

import numpy as np
import pytest

from bitewright.mouth.arches import EmptyArchError
from bitewright.mouth.drawn_mouth import drawn_mouth
from bitewright.mouth.mouth import Mouth, MouthValueError, textbook_mouth
from bitewright.mouth.outlines import Outlines, build_outlines
from bitewright.mouth.standard_mouth import standard_mouth
from tests.scenes import outlines_of

CONTACT_GAP_MM = (0.0, 0.05)
INTERPENETRATION_MM = 0.02


@pytest.mark.parametrize("third_molars", [False, True])
def test_every_contact_of_the_standard_mouth_touches(*, third_molars: bool) -> None:
    outlines = outlines_of(third_molars=third_molars)
    assert len(outlines.sites) == (28 if third_molars else 24)
    for site in outlines.sites:
        assert CONTACT_GAP_MM[0] <= measured_gap_mm(outlines, site.pair) <= CONTACT_GAP_MM[1]


@pytest.mark.parametrize("seed", range(12))
def test_every_contact_of_a_drawn_mouth_touches(seed: int) -> None:
    outlines = build_outlines(drawn_mouth(seed))
    for site in outlines.sites:
        gap = measured_gap_mm(outlines, site.pair)
        assert -INTERPENETRATION_MM <= gap <= CONTACT_GAP_MM[1], (site.name, gap)


def measured_gap_mm(outlines: Outlines, pair: tuple[int, int]) -> float:
    """Least distance across the contact, over heights that both flanks have, between crowns."""
    site = outlines.site[pair]
    front, back = (
        (outlines.flanks_mouth[outlines.row[code], surface] - site.point_mouth)
        for code, surface in zip(pair, (1, 0), strict=True)
    )
    # Both crowns keep to their side of the facet plane; the gap is where they come nearest.
    return float((front @ site.normal_mouth).min() - (back @ site.normal_mouth).max())


@pytest.mark.parametrize("seed", range(6))
def test_no_crown_reaches_beyond_its_facet_plane(seed: int) -> None:
    outlines = build_outlines(drawn_mouth(seed))
    beyond = (outlines.flanks_mouth * outlines.planes_mouth[:, :, None, None, :3]).sum(axis=-1)
    assert (beyond - outlines.planes_mouth[:, :, None, None, 3]).max() < 1e-9


def test_upper_and_lower_contacts_have_their_own_open_directions() -> None:
    outlines = outlines_of()
    upper, lower = outlines.site[13, 14], outlines.site[43, 44]
    assert upper.open_azimuth_deg != pytest.approx(lower.open_azimuth_deg, abs=0.5)


@pytest.mark.parametrize(
    ("base", "low", "high"), [(textbook_mouth(), 3, 7), (standard_mouth(), 2, 7)]
)
def test_a_turned_tooth_turns_the_open_direction_of_its_contacts(
    base: Mouth, low: float, high: float
) -> None:
    """Less between crowns of their own shape: the nearest places move along round flanks."""
    turned = replace(base, teeth={**base.teeth, 15: replace(base.teeth[15], rotation_deg=10.0)})
    before, after = build_outlines(base), build_outlines(turned)
    for pair in ((14, 15), (15, 16)):
        change = after.site[pair].open_azimuth_deg - before.site[pair].open_azimuth_deg
        assert low < abs(change) < high, pair
    elsewhere = after.site[25, 26].open_azimuth_deg - before.site[25, 26].open_azimuth_deg
    assert abs(elsewhere) < 0.5


def test_the_frame_stands_on_incisors_and_first_molars() -> None:
    points = outlines_of().points_mouth
    middle = 0.5 * (points["11.edge.cusp"] + points["21.edge.cusp"])
    assert np.abs(middle).max() < 1e-9
    for code in (16, 26):
        assert abs(points[f"{code}.mesiobuccal.cusp"][2]) < 1e-9


def test_closed_jaws_touch_without_biting_into_one_another() -> None:
    outlines = outlines_of()
    upper = outlines.points_mouth["16.mesiobuccal.cusp"]
    groove = 0.5 * (
        outlines.points_mouth["46.mesiobuccal.cusp"] + outlines.points_mouth["46.distobuccal.cusp"]
    )
    assert abs(upper[1] - groove[1]) < 0.5


def test_missing_tooth_keeps_its_space_and_has_no_contact() -> None:
    base = standard_mouth()
    gone = replace(base, teeth={**base.teeth, 46: replace(base.teeth[46], present=False)})
    outlines = build_outlines(gone)
    assert 46 not in outlines.codes
    assert (45, 46) not in outlines.site
    assert (46, 47) not in outlines.site
    whole = outlines_of()
    moved = outlines.crown_middle_mouth(47) - whole.crown_middle_mouth(47)
    assert np.abs(moved).max() < 0.3


def test_tooth_left_out_lets_its_neighbours_meet() -> None:
    base = standard_mouth()
    teeth = {code: tooth for code, tooth in base.teeth.items() if code != 14}
    outlines = build_outlines(replace(base, teeth=teeth))
    gap = np.linalg.norm(outlines.crown_middle_mouth(13) - outlines.crown_middle_mouth(15))
    assert gap < 8.5


def test_a_wanted_gap_is_left() -> None:
    base = standard_mouth()
    contact = replace(base.contacts[35, 36], gap_mm=1.2)
    outlines = build_outlines(replace(base, contacts={**base.contacts, (35, 36): contact}))
    assert measured_gap_mm(outlines, (35, 36)) == pytest.approx(1.2, abs=0.03)


def test_every_tooths_axes_are_square_and_carry_its_cusps_into_the_mouth() -> None:
    """Mesial, buccal, occlusal are right-handed in the upper right and lower left quadrant only."""
    outlines = build_outlines(drawn_mouth(3))
    for code in outlines.codes:
        row = outlines.row[code]
        axes = outlines.axes_mouth[row]
        assert np.allclose(axes @ axes.T, np.eye(3))
        assert np.linalg.det(axes) == pytest.approx(1.0 if code // 10 in (1, 3) else -1.0)
        tip = outlines.origins_mouth[row] + outlines.cusps.tips_tooth[row, 0] @ axes
        name = f"{code}.{outlines.cusps.names[row][0]}.cusp"
        assert np.allclose(tip, outlines.points_mouth[name])


def test_an_arch_of_one_tooth_is_refused() -> None:
    base = standard_mouth()
    teeth = {code: tooth for code, tooth in base.teeth.items() if code < 30 or code == 46}
    with pytest.raises(EmptyArchError, match="lower arch has 1 teeth"):
        build_outlines(replace(base, teeth=teeth))


@pytest.mark.parametrize("wrong", [float("nan"), -1.0, 99.0, "ten", True])
def test_impossible_sizes_are_refused(wrong: object) -> None:
    tooth = replace(standard_mouth().teeth[16], md_crown_mm=wrong)
    with pytest.raises(MouthValueError, match=r"tooth 16 md_crown_mm is .* from 3 to 16 mm"):
        replace(standard_mouth(), teeth={16: tooth})


def test_open_direction_lies_in_the_facet_and_points_outward() -> None:
    """Also behind straight across, as for a usual molar turned far."""
    base = textbook_mouth()
    turned = {
        code: replace(base.teeth[code], rotation_deg=turn)
        for code, turn in ((17, 40.0), (16, 30.0), (37, 40.0), (36, 30.0))
    }
    outlines = build_outlines(replace(base, teeth={**base.teeth, **turned}))
    azimuths = []
    for site in outlines.sites:
        outward = -1.0 if site.pair[0] // 10 in (1, 4) else 1.0
        angle = np.deg2rad(site.open_azimuth_deg)
        tube = np.array([outward * np.cos(angle), -np.sin(angle), 0.0])
        assert abs(tube @ site.normal_mouth) < 1e-9
        assert site.normal_mouth[1] < 0 or site.pair[0] % 10 > 5
        azimuths.append(site.open_azimuth_deg)
    assert min(azimuths) < 0.0

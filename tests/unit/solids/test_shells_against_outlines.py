"""Teeth as solids say what the outlines say: sizes, contacts, root ends, parted roots.

They are marched on a grid of 0.3 mm: flat facets come out exact, sharp tips a little short.
"""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
import trimesh
from numpy.typing import NDArray

from bitewright.mouth.crown_lines import CrownLines
from bitewright.mouth.drawn_mouth import drawn_mouth
from bitewright.mouth.mouth import Mouth, textbook_mouth
from bitewright.mouth.open_direction import across_beams
from bitewright.mouth.outlines import Outlines, build_outlines
from bitewright.mouth.population_mouth import population_mouth
from bitewright.mouth.standard_mouth import standard_mouth
from bitewright.planning.open_fans import overlaps_at_mm
from bitewright.solids.tooth_shells import ToothShells, tooth_shells
from tests.scenes import outlines_of, usual_teeth
from tests.winding import winding
from trials.drawn_solids import solid_overlap_mm

Floats = NDArray[np.float64]


def quadrant(outlines: Outlines, number: int) -> tuple[int, ...]:
    return tuple(code for code in outlines.codes if code // 10 == number)


def in_own_axes(outlines: Outlines, shells: ToothShells) -> Floats:
    row = outlines.row[shells.code]
    away = shells.outer.vertices_mm - outlines.origins_mouth[row]
    return np.asarray(away @ outlines.axes_mouth[row].T)


@pytest.mark.parametrize("mouth", [textbook_mouth(), drawn_mouth(5)])
def test_solid_teeth_have_the_sizes_of_the_mouth(mouth: Mouth) -> None:
    outlines = build_outlines(mouth)
    for number in (1, 4):
        for shells in tooth_shells(outlines, quadrant(outlines, number)):
            own, tooth = in_own_axes(outlines, shells), mouth.teeth[shells.code]
            crown = own[own[:, 2] > 0.3]
            # The rhomboid shear of upper molars adds to their width; the outlines have it too.
            rhomboid = 0.25 if shells.code in (16, 17) else 0.1
            assert np.ptp(crown[:, 0]) == pytest.approx(tooth.md_crown_mm, abs=rhomboid)
            assert np.ptp(crown[:, 1]) == pytest.approx(tooth.bl_crown_mm, abs=0.1)
            # A lingual cusp may stand higher than the buccal ones, which crown length is told of.
            tips = outlines.cusps.tips_tooth[outlines.row[shells.code], :, 2]
            grown = max(tooth.crown_length_mm, float(tips.max()))
            top = float(tips.max()) if tooth.wear_mm else grown
            assert crown[:, 2].max() == pytest.approx(top, abs=0.15), shells.code
            assert own[:, 2].min() == pytest.approx(-tooth.root_length_mm, abs=0.3)


def test_enamel_at_the_contacts_has_the_thickness_of_the_mouth() -> None:
    outlines = outlines_of()
    for shells in usual_teeth((14, 15, 16, 17, 44, 45, 46, 47)):
        mesh = shells.dentine
        points, _ = trimesh.remesh.subdivide(
            *trimesh.remesh.subdivide(mesh.vertices_mm, mesh.triangles)
        )
        for site in outlines.sites:
            if shells.code in site.pair:
                thick = np.linalg.norm(points - site.point_mouth, axis=1).min()
                own = outlines.mouth.teeth[shells.code].enamel_contact_mm
                # Its thickness swells and sinks by some 8 %, as real enamel does; flanks turn.
                assert thick == pytest.approx(own, abs=0.25), site.name


def test_roots_end_at_the_apices_of_the_outlines() -> None:
    outlines = outlines_of()
    for shells in usual_teeth((13, 15, 16, 17, 43, 45, 46, 47)):
        for name, apex in outlines.points_mouth.items():
            if name.startswith(f"{shells.code}.") and name.endswith(".apex"):
                assert np.linalg.norm(shells.outer.vertices_mm - apex, axis=1).min() < 0.35, name


@pytest.mark.slow
@pytest.mark.parametrize("seed", [1, 2, 3])
def test_neighbours_do_not_reach_into_one_another_at_any_depth(seed: int) -> None:
    outlines = build_outlines(drawn_mouth(seed))
    for number in (1, 4):
        codes = sorted(quadrant(outlines, number))
        outer = {shells.code: shells.outer for shells in tooth_shells(outlines, tuple(codes))}
        for one, other in pairwise(codes):
            box = outer[one].vertices_mm.min(axis=0), outer[one].vertices_mm.max(axis=0)
            points = outer[other].vertices_mm
            near = points[((points > box[0]) & (points < box[1])).all(axis=1)][::7]
            assert (winding(outer[one], near) < 0.5).all(), (one, other)


@pytest.mark.parametrize(("code", "count"), [(16, 3), (27, 3), (36, 2), (47, 2)])
def test_molar_roots_part_and_stay_apart(code: int, count: int) -> None:
    outlines = outlines_of()
    (shells,) = usual_teeth((code,))
    own = in_own_axes(outlines, shells)
    length = outlines.mouth.teeth[code].root_length_mm
    solid = trimesh.Trimesh(own, shells.outer.triangles, process=False)
    cut = solid.section(plane_origin=[0, 0, -0.72 * length], plane_normal=[0, 0, 1])
    assert len(cut.discrete) == count


@pytest.mark.parametrize("code", [11, 13, 15, 16, 36, 47])
def test_each_layer_is_closed_wound_outward_and_inside_the_one_before(code: int) -> None:
    (shells,) = usual_teeth((code,))
    volumes = []
    for mesh in (shells.outer, shells.dentine, shells.pulp):
        assert mesh.unmatched_edge_count() == 0
        volumes.append(mesh.volume_mm3)
    assert volumes[0] > volumes[1] > volumes[2] > 0.0
    sample = shells.pulp.vertices_mm[::9]
    assert (winding(shells.dentine, sample) > 0.5).all()


def test_enamel_on_the_root_is_exactly_nothing() -> None:
    outlines = outlines_of()
    (shells,) = usual_teeth((45,))
    below = in_own_axes(outlines, shells)[:, 2] < -0.3
    outer = {tuple(vertex) for vertex in shells.outer.vertices_mm[below]}
    dentine = {tuple(vertex) for vertex in shells.dentine.vertices_mm}
    assert len(outer) > 1000
    assert outer <= dentine


def test_an_older_pulp_is_smaller() -> None:
    young, old = (
        tooth_shells(build_outlines(replace(standard_mouth(), age_years=age)), (46,))[0].pulp
        for age in (20.0, 70.0)
    )
    assert old.volume_mm3 < 0.75 * young.volume_mm3


def worn(wear_mm: float) -> Mouth:
    base = standard_mouth()
    teeth = {code: replace(tooth, wear_mm=wear_mm) for code, tooth in base.teeth.items()}
    return replace(base, teeth=teeth)


@pytest.mark.parametrize("wear_mm", [0.4, 1.0])
def test_worn_solids_end_flat_where_the_outlines_have_their_cusps(wear_mm: float) -> None:
    plain, outlines = outlines_of(), build_outlines(worn(wear_mm))
    codes = (11, 13, 15, 16, 45, 46)
    for was, shells in zip(usual_teeth(codes), tooth_shells(outlines, codes), strict=True):
        code, top = shells.code, in_own_axes(outlines, shells)[:, 2].max()
        assert was.code == code
        grown = plain.cusps.tips_tooth[plain.row[code], :, 2].max()
        tips = outlines.cusps.tips_tooth[outlines.row[code], :, 2]
        assert tips.max() == pytest.approx(grown - wear_mm)
        assert grown - wear_mm - 0.15 < top < grown - wear_mm + 0.01, code
        for name, place in outlines.points_mouth.items():
            if name.startswith(f"{code}.") and name.endswith(".cusp"):
                off = np.linalg.norm(shells.outer.vertices_mm - place, axis=1).min()
                assert off < 0.32, name
        enamel = [each.outer.volume_mm3 - each.dentine.volume_mm3 for each in (was, shells)]
        assert enamel[1] < enamel[0], "wear takes enamel"
        for mesh in (shells.outer, shells.dentine, shells.pulp):
            assert mesh.unmatched_edge_count() == 0


def test_worn_jaws_close_further_and_contacts_stay() -> None:
    plain, outlines = outlines_of(), build_outlines(worn(0.8))
    for was, site in zip(plain.sites, outlines.sites, strict=True):
        assert site.gap_mm == pytest.approx(was.gap_mm)
        overlaps = [
            overlaps_at_mm(of, each, np.array([each.open_azimuth_deg + 6.0]), vertical_deg=0.0)[0]
            for of, each in ((plain, was), (outlines, site))
        ]
        assert overlaps[1] == pytest.approx(overlaps[0], abs=0.01), site.name
    apart = [
        of.crown_middle_mouth(16)[2] - of.crown_middle_mouth(46)[2] for of in (plain, outlines)
    ]
    assert 0.3 < apart[0] - apart[1] < 1.7


WITHIN_MM = 0.03
"""Overlap of solids against outlines, up to 10 degrees off the open direction to both sides."""

OWN_SHAPES_WITHIN_MM = 0.1
"""The same where crowns have shapes of their own and stand out of line."""


@pytest.mark.parametrize(
    ("mouth", "within_mm"),
    [
        (drawn_mouth(2), WITHIN_MM),
        (drawn_mouth(5), WITHIN_MM),
        (population_mouth(1), OWN_SHAPES_WITHIN_MM),
        pytest.param(population_mouth(5), OWN_SHAPES_WITHIN_MM, marks=pytest.mark.slow),
    ],
)
@pytest.mark.parametrize("number", [1, 4])
def test_contacts_of_the_solids_are_those_of_the_outlines(
    mouth: Mouth, within_mm: float, number: int
) -> None:
    """Overlap of the solids' silhouettes in a parallel beam, against the outlines' own."""
    outlines = build_outlines(mouth)
    codes = tuple(code for code in quadrant(outlines, number) if code % 10 >= 3)
    lines = {each.code: CrownLines.of_mesh(each.outer) for each in tooth_shells(outlines, codes)}
    for site in outlines.sites:
        if not set(site.pair) <= set(codes):
            continue
        front, back = (lines[code] for code in site.pair)
        for swing in (-10.0, -8.0, -6.0, 0.0, 6.0, 8.0, 10.0):
            azimuth = np.array([site.open_azimuth_deg + swing])
            expected = overlaps_at_mm(outlines, site, azimuth, vertical_deg=0.0)[0]
            along = across_beams(azimuth, right=True)[0]
            found = solid_overlap_mm(front, back, site, along)
            assert found == pytest.approx(expected, abs=within_mm), (site.name, swing)

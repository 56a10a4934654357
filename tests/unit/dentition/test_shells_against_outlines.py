"""Teeth and bone as solids say what the outlines say: sizes, root ends, crest, parted roots."""

from itertools import pairwise

import numpy as np
import pytest
import trimesh
from numpy.typing import NDArray

from bitewright.dentition.mouth import Mouth, standard_mouth
from bitewright.dentition.outlines import Outlines, build_outlines
from bitewright.dentition.tooth_rings import tooth_rings
from bitewright.dentition.tooth_roots import roots_of
from bitewright.dentition.tooth_shells import ToothShells, tooth_shells
from tests.scenes import drawn_mouth, outlines_of
from tests.winding import winding

Floats = NDArray[np.float64]


def quadrant(outlines: Outlines, number: int) -> tuple[int, ...]:
    return tuple(code for code in outlines.codes if code // 10 == number)


def in_own_axes(outlines: Outlines, shells: ToothShells) -> Floats:
    row = outlines.row[shells.code]
    away = shells.outer.vertices_mm - outlines.origins_mouth[row]
    return np.asarray(away @ outlines.axes_mouth[row].T)


@pytest.mark.parametrize("mouth", [standard_mouth(), drawn_mouth(5)])
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
            assert crown[:, 2].max() == pytest.approx(tooth.crown_length_mm, abs=0.1)
            assert own[:, 2].min() == pytest.approx(-tooth.root_length_mm, abs=0.05)


def test_enamel_at_the_contacts_has_the_thickness_of_the_mouth() -> None:
    outlines = outlines_of()
    for shells in tooth_shells(outlines, (14, 15, 16, 17, 44, 45, 46, 47)):
        mesh = shells.dentine
        points, _ = trimesh.remesh.subdivide(
            *trimesh.remesh.subdivide(mesh.vertices_mm, mesh.triangles)
        )
        for site in outlines.sites:
            if shells.code in site.pair:
                thick = np.linalg.norm(points - site.point_mouth, axis=1).min()
                own = outlines.mouth.teeth[shells.code].enamel_contact_mm
                assert thick == pytest.approx(own, abs=0.15), site.name


def test_roots_end_at_the_apices_of_the_outlines() -> None:
    outlines = outlines_of()
    for shells in tooth_shells(outlines, (13, 15, 16, 17, 43, 45, 46, 47)):
        for name, apex in outlines.points_mouth.items():
            if name.startswith(f"{shells.code}.") and name.endswith(".apex"):
                assert np.linalg.norm(shells.outer.vertices_mm - apex, axis=1).min() < 0.01, name


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
    (rings,) = tooth_rings(outlines_of(), (code,))
    roots = roots_of(rings)
    assert len(roots) == count
    deep = [
        root.at(np.full((1, len(root.sector())), 0.6 * root.length))[0, :, :2] for root in roots
    ]
    for i, one in enumerate(deep):
        for other in deep[i + 1 :]:
            apart = np.linalg.norm(one[:, None] - other[None], axis=-1).min()
            assert apart > 0.3


def test_a_trunk_and_its_roots_add_up_without_overlap() -> None:
    outlines = outlines_of()
    (shells,) = tooth_shells(outlines, (46,))
    low, high = shells.outer.vertices_mm.min(axis=0), shells.outer.vertices_mm.max(axis=0)
    points = low + np.random.default_rng(0).random((400, 3)) * (high - low)
    turns = winding(shells.outer, points)
    assert np.abs(turns - np.rint(turns)).max() < 1e-6
    assert set(np.rint(turns).astype(int)) == {0, 1}

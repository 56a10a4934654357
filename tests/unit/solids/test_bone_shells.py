"""Bone and gum: closed, at the outlines' crest, clear of teeth, lost by site, past the film."""

from dataclasses import replace
from functools import lru_cache

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from bitewright.mouth.drawn_mouth import drawn_mouth
from bitewright.mouth.mouth import Mouth, MouthValueError
from bitewright.mouth.outlines import Outlines, build_outlines
from bitewright.mouth.standard_mouth import standard_mouth
from bitewright.solids.bone_shells import BoneShells, bone_shells
from bitewright.solids.ridge import ridge
from bitewright.solids.tooth_distance import one_skin, surface_places
from bitewright.solids.tooth_shells import tooth_shells
from bitewright.space import ClosedMesh
from tests.scenes import outlines_of, usual_teeth
from tests.winding import winding

Floats = NDArray[np.float64]

NEAR_MM = 0.25


def teeth_of(outlines: Outlines, quadrant: int) -> list[ClosedMesh]:
    codes = tuple(c for c in outlines.codes if c // 10 == quadrant)
    return [tooth.outer for tooth in tooth_shells(outlines, codes)]


def made(mouth: Mouth, quadrant: int) -> tuple[Outlines, BoneShells]:
    outlines = build_outlines(mouth)
    bone = bone_shells(outlines, quadrant, teeth_of(outlines, quadrant))
    assert bone is not None
    return outlines, bone


def usual_teeth_of(quadrant: int) -> list[ClosedMesh]:
    codes = (code for code in outlines_of().codes if code // 10 == quadrant)
    return [tooth.outer for tooth in usual_teeth(codes)]


@lru_cache(maxsize=4)
def usual(quadrant: int) -> tuple[Outlines, BoneShells]:
    outlines = outlines_of()
    bone = bone_shells(outlines, quadrant, usual_teeth_of(quadrant))
    assert bone is not None
    return outlines, bone


def lost(**losses: float) -> Mouth:
    """The standard mouth with every tooth's crest or defects as given."""
    base = standard_mouth()
    return replace(base, teeth={c: replace(t, **losses) for c, t in base.teeth.items()})


def top_mm(mesh: ClosedMesh, place: Floats, rootward: float) -> float:
    """Height of a surface's most occlusal vertex near a place seen from above. [mm]"""
    near = np.linalg.norm(mesh.vertices_mm[:, :2] - place, axis=1) < NEAR_MM
    return float(rootward * (rootward * mesh.vertices_mm[near, 2]).min(initial=np.inf))


@pytest.mark.parametrize("quadrant", [1, 4])
def test_every_surface_is_closed_and_holds_the_next(quadrant: int) -> None:
    _, bone = usual(quadrant)
    volumes = [mesh.checked().volume_mm3 for mesh in (bone.gum, bone.bone, bone.spongiosa)]
    assert volumes[0] > volumes[1] > volumes[2] > 1000.0


@pytest.mark.parametrize(
    ("mouth", "quadrant"),
    [
        (None, 1),
        (None, 4),
        pytest.param(drawn_mouth(2), 4, marks=pytest.mark.slow),
    ],
    ids=["standard", "standard lower", "drawn"],
)
def test_the_bone_begins_at_the_crest_points_of_the_outlines(
    mouth: Mouth | None, quadrant: int
) -> None:
    """The crest's height at the mark is the mark's own; bone itself starts beyond the socket."""
    outlines, bone = usual(quadrant) if mouth is None else made(mouth, quadrant)
    row = ridge(outlines, quadrant)
    assert row is not None
    # Bitewings are read from the canine's distal backwards.
    names = [
        f"{c}.{side}.crest"
        for c in outlines.codes
        if c // 10 == quadrant and c % 10 > 3
        for side in ("mesial", "distal")
    ]
    points = np.array([outlines.points_mouth[name] for name in names])
    assert np.abs(row.depth(points)).max() < 0.1
    # In the solid itself: the highest bone within half a millimetre beyond the root's surface.
    heights = []
    for name, point in zip(names, points, strict=True):
        axis = outlines.axes_mouth[outlines.row[int(name[:2])], 0, :2]
        away = axis if "mesial" in name else -axis
        places = [point[:2] + d * away for d in (0.35, 0.5)]
        tops = [np.append(at, top_mm(bone.bone, at, row.rootward)) for at in places]
        heights.append(np.abs(row.depth(np.array(tops))).min())
    # Against the crest as it slopes there; the edge at the socket is rounded, most in the narrow
    # septa between wide necks: lower by no more.
    assert np.median(heights) < 0.05
    assert max(heights) < 0.2


@pytest.mark.parametrize("quadrant", [1, 4])
def test_neither_bone_nor_gum_reaches_into_a_tooth(quadrant: int) -> None:
    _, bone = usual(quadrant)
    for tooth in usual_teeth_of(quadrant):
        low, high = tooth.vertices_mm.min(axis=0), tooth.vertices_mm.max(axis=0)
        places = cKDTree(surface_places(one_skin(tooth))[0])
        for mesh in (bone.bone, bone.gum):
            within = ((mesh.vertices_mm > low) & (mesh.vertices_mm < high)).all(axis=1)
            points = mesh.vertices_mm[within][::37]
            assert len(points) > 30
            inside = points[winding(tooth, points) > 0.5]
            assert (places.query(inside)[0] > 0.15).sum() <= 0.01 * len(points)


@pytest.mark.slow
def test_an_angular_defect_takes_bone_at_its_root_and_leaves_the_septum() -> None:
    base = standard_mouth()
    deep = replace(base.teeth[46], crest_mesial_mm=5.2, defect_mesial_mm=4.0)
    outlines, bone = made(replace(base, teeth={**base.teeth, 46: deep}), 4)
    _, whole = usual(4)
    point = outlines.points_mouth["46.mesial.crest"]
    ahead = outlines.axes_mouth[outlines.row[46], 0, :2]
    place = point[:2] + 0.4 * ahead
    assert top_mm(bone.bone, place, -1.0) == pytest.approx(point[2], abs=0.6)
    assert top_mm(whole.bone, place + 0.6 * ahead, -1.0) > point[2] + 2.5
    beyond = outlines.points_mouth["45.distal.crest"]
    assert top_mm(bone.bone, beyond[:2] - 0.4 * ahead, -1.0) == pytest.approx(beyond[2], abs=0.6)


@pytest.mark.slow
def test_level_loss_brings_the_whole_crest_down() -> None:
    outlines, whole = usual(1)
    _, bone = made(lost(crest_mesial_mm=4.2, crest_distal_mm=4.2), 1)
    assert bone.bone.checked().volume_mm3 > 1000.0
    septum = outlines.site[14, 15].point_mouth[:2]
    fallen = top_mm(bone.bone, septum, 1.0) - top_mm(whole.bone, septum, 1.0)
    assert fallen == pytest.approx(3.0, abs=0.4)


@pytest.mark.parametrize("quadrant", [1, 4])
def test_bone_runs_on_behind_the_last_tooth_and_across_the_midline(quadrant: int) -> None:
    outlines, bone = usual(quadrant)
    last = outlines.origins_mouth[outlines.row[10 * quadrant + 7]]
    assert bone.bone.vertices_mm[:, 1].max() > last[1] + 20.0
    assert bone.bone.vertices_mm[:, 0].max() > 10.0


def test_the_ramus_rises_behind_the_lower_teeth() -> None:
    outlines, bone = usual(4)
    last = outlines.origins_mouth[outlines.row[47]]
    behind = bone.bone.vertices_mm[bone.bone.vertices_mm[:, 1] > last[1] + 22.0]
    assert behind[:, 2].max() > last[2] + 10.0


def test_the_sinus_lies_above_the_upper_molars_and_leaves_bone_on_the_roots() -> None:
    outlines, bone = usual(1)
    row = outlines.row[16]
    apices = [p for n, p in outlines.points_mouth.items() if n.startswith("16.") and "apex" in n]
    above = np.mean(apices, axis=0) + np.array([0.0, 0.0, 6.0])
    assert winding(bone.bone, above[None])[0] == pytest.approx(0.0, abs=1e-6)
    assert (
        winding(bone.bone, (outlines.origins_mouth[row] + np.array([0.0, 0.0, 30.0]))[None]).max()
        < 0.5
    )


@pytest.mark.slow
def test_a_lost_tooth_leaves_a_lower_ridge() -> None:
    base = standard_mouth()
    teeth = {**base.teeth, 45: replace(base.teeth[45], present=False)}
    outlines, bone = made(replace(base, teeth=teeth), 4)
    ends = [outlines.points_mouth[n] for n in ("44.distal.crest", "46.mesial.crest")]
    middle = 0.5 * (ends[0] + ends[1])
    top = top_mm(bone.bone, middle[:2], -1.0)
    assert middle[2] - 1.6 < top < middle[2] - 0.4


def test_a_side_without_teeth_still_has_its_ridge() -> None:
    base = standard_mouth()
    teeth = {c: replace(t, present=c // 10 != 4) for c, t in base.teeth.items()}
    outlines = build_outlines(replace(base, teeth=teeth))
    bone = bone_shells(outlines, 4, [])
    assert bone is not None
    assert bone.bone.checked().volume_mm3 > 5000.0
    assert np.median(bone.bone.vertices_mm[:, 0]) < 0.0


def test_bone_fills_the_furcation_between_the_roots_of_a_lower_first_molar() -> None:
    outlines, bone = usual(4)
    ends = [p for n, p in outlines.points_mouth.items() if n.startswith("46.") and "apex" in n]
    neck = outlines.origins_mouth[outlines.row[46]]
    between = neck + np.array([[0.55], [0.65], [0.75]]) * (np.mean(ends, axis=0) - neck)
    assert winding(bone.bone, between).max() == pytest.approx(1.0, abs=1e-6)


def test_a_defect_deeper_than_the_loss_beside_it_is_refused() -> None:
    base = standard_mouth()
    deep = replace(base.teeth[46], crest_mesial_mm=2.0, defect_mesial_mm=4.0)
    with pytest.raises(MouthValueError, match=r"defect_mesial_mm .* is 4.0, must be .* to 2 mm"):
        replace(base, teeth={**base.teeth, 46: deep})

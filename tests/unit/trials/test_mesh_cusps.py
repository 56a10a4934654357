"""Cusp tips found on surfaces whose tips are known."""

import numpy as np
import pytest

from bitewright.space import ClosedMesh
from trials.mesh_cusps import cusp_tips

SIDE_MM = 10.0
FORWARD = np.array([0.0, -1.0, 0.0])


def crown(tips: dict[str, tuple[float, float, float]], code: int) -> ClosedMesh:
    """A block of 10 mm with cones: mesial, buccal and depth of each tip below z = 0. [mm]"""
    outward = -1.0 if code // 10 in (1, 4) else 1.0
    away = 1.0 if code < 30 else -1.0
    steps = np.arange(-5.0, 5.01, 0.25)
    y, x = (axis.ravel() for axis in np.meshgrid(steps, steps, indexing="ij"))
    cones = [
        depth + 0.6 * np.hypot(-y - mesial, x * outward - buccal)
        for mesial, buccal, depth in tips.values()
    ]
    surface = np.column_stack([x, y, away * np.min(cones, axis=0)])
    return ClosedMesh(surface, np.zeros((0, 3), np.int32))


MOLAR = {
    "mesiobuccal": (2.5, 2.0, 0.0),
    "distobuccal": (-2.0, 2.25, 0.25),
    "mesiolingual": (2.0, -2.5, 0.5),
    "distolingual": (-2.5, -2.5, 1.0),
}


@pytest.mark.parametrize("code", [17, 27, 37, 47])
def test_four_cones_are_four_cusps_by_name(code: int) -> None:
    mesh = crown(MOLAR, code)
    found = cusp_tips(mesh, code, mesial_mouth=FORWARD, crown_mouth=mesh.vertices_mm)
    outward = -1.0 if code in (17, 47) else 1.0
    away = 1.0 if code < 30 else -1.0
    assert set(found) == {f"{code}.{name}.cusp" for name in MOLAR}
    for name, (mesial, buccal, depth) in MOLAR.items():
        place = (outward * buccal, -mesial, away * depth)
        assert found[f"{code}.{name}.cusp"] == pytest.approx(place), name


def test_a_cusp_that_is_not_there_is_left_out() -> None:
    tips = {name: tip for name, tip in MOLAR.items() if name != "distolingual"}
    mesh = crown(tips, 17)
    found = cusp_tips(mesh, 17, mesial_mouth=FORWARD, crown_mouth=mesh.vertices_mm)
    assert set(found) == {f"17.{name}.cusp" for name in tips}


def test_a_tip_far_from_where_it_stands_is_not_taken_for_it() -> None:
    mesh = crown({"nothing": (4.5, 4.5, 0.0)}, 14)
    found = cusp_tips(mesh, 14, mesial_mouth=FORWARD, crown_mouth=mesh.vertices_mm)
    assert not found

"""Meshes as fields and as teeth: where the surface lies, and what lies inside it."""

import numpy as np
import pytest
from scipy.spatial import cKDTree

from bitewright.solids.placed_tooth import placed_teeth
from bitewright.solids.tooth_grid import STEP_MM, ToothGrid
from bitewright.space import ClosedMesh
from tests.closed_meshes import box, icosphere
from tests.scenes import outlines_of
from tests.winding import winding
from trials.crowned_teeth import shells_of_mesh
from trials.mesh_fields import BAND_MM, mesh_field
from trials.scanned_teeth import outermost


def grid_over(size_mm: float, step_mm: float) -> ToothGrid:
    line = np.arange(-size_mm, size_mm + step_mm, step_mm)
    return ToothGrid(line[:, None, None], line[None, :, None], line[None, None, :])


def test_a_spheres_field_is_the_distance_from_it() -> None:
    grid = grid_over(6.0, 0.3)
    field = mesh_field(icosphere([0.2, 0.1, -0.3], 4.0), grid, step_mm=0.3)
    true = np.linalg.norm(grid.points() - [0.2, 0.1, -0.3], axis=-1) - 4.0
    assert np.abs(field - np.clip(true, -BAND_MM, BAND_MM)).max() < 0.04  # its facets lie inside


def test_places_inside_are_those_that_the_surface_goes_round() -> None:
    turn = np.linalg.qr(np.array([[1.0, 0.3, 0.2], [-0.3, 1.0, 0.1], [0.1, -0.2, 1.0]]))[0]
    mesh = box([0.0, 0.0, 0.0], [5.0, 3.0, 4.0], turn * np.sign(np.linalg.det(turn)))
    grid = grid_over(4.0, 0.5)
    inside = mesh_field(mesh, grid, step_mm=0.5) < 0.0
    assert (inside.ravel() == (winding(mesh, grid.points().reshape(-1, 3)) > 0.5)).all()


def test_bodies_inside_another_are_left_out() -> None:
    whole, inner = icosphere([0, 0, 0], 4.0, 1), icosphere([0, 0, 0], 2.0, 2)
    both = ClosedMesh(
        np.concatenate([inner.vertices_mm, whole.vertices_mm]),
        np.concatenate([inner.triangles, whole.triangles + len(inner.vertices_mm)]),
    )
    assert outermost(both).volume_mm3 == pytest.approx(whole.volume_mm3)


@pytest.mark.parametrize("code", [45, 16])
def test_a_crown_on_a_root_is_the_mesh_outside_and_closed_inside_one_another(code: int) -> None:
    outlines = outlines_of()
    placed = placed_teeth(outlines, (code,))[0]
    middle = 0.5 * placed.tooth.crown_length_mm
    crown = icosphere([0.0, 0.0, middle], 4.2, 4)
    made = shells_of_mesh(placed, crown, has_root=False)
    for mesh in (made.outer, made.dentine, made.pulp):
        assert mesh.unmatched_edge_count() == 0
        assert mesh.volume_mm3 > 0.0
    at = made.outer.vertices_mm
    above = at[:, 2] > middle + STEP_MM
    assert above.sum() > 300
    away = np.linalg.norm(at[above] - [0.0, 0.0, middle], axis=1) - 4.2
    assert np.abs(away).max() < 0.03
    neck = at[np.abs(at[:, 2]) < STEP_MM]
    assert np.ptp(neck[:, 0]) < 1.15 * placed.tooth.md_cervix_mm, "no wider than the root's neck"
    assert at[:, 2].min() < -0.9 * placed.tooth.root_length_mm
    crowns = made.dentine.vertices_mm[made.dentine.vertices_mm[:, 2] > middle]
    deep = 4.2 - np.linalg.norm(crowns - [0.0, 0.0, middle], axis=1)
    assert deep.min() > 0.3, "enamel all over the crown"
    assert (winding(made.dentine, made.pulp.vertices_mm[::20]) > 0.5).all()


def test_a_whole_tooth_keeps_its_own_root() -> None:
    placed = placed_teeth(outlines_of(), (45,))[0]
    length = placed.tooth.root_length_mm - 2.0
    mesh = icosphere([0.0, 0.0, 0.0], 1.0, 4)
    tooth = ClosedMesh(mesh.vertices_mm * [3.5, 4.0, length], mesh.triangles)
    made = shells_of_mesh(placed, tooth, has_root=True)
    apart, _ = cKDTree(tooth.vertices_mm).query(made.outer.vertices_mm)
    flank = np.abs(made.outer.vertices_mm[:, 2]) < 0.5 * length
    assert np.quantile(apart[flank], 0.95) < 0.5  # the mesh's own corners lie that far apart
    assert made.outer.volume_mm3 == pytest.approx(tooth.volume_mm3, rel=0.02)

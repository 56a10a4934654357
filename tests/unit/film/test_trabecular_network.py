"""Looking up fields between their places, and rays in the frames of both."""

import numpy as np
import pytest
from scipy.ndimage import map_coordinates
from scipy.spatial.transform import Rotation

from bitewright.film.trabecular_network import (
    TRABECULAE,
    Marching,
    along_ray,
    around,
    block_crossing,
    bone_share,
    trilinear,
)


def test_a_table_is_read_between_its_places_as_by_scipy() -> None:
    rng = np.random.default_rng(1)
    table = rng.normal(size=(5, 6, 7)).astype(np.float32)
    places = rng.uniform(0.0, [3.9, 4.9, 5.9], (60, 3))
    found = [trilinear(table, *place) for place in places]
    np.testing.assert_allclose(found, map_coordinates(table, places.T, order=1), atol=1e-5)


def test_both_fields_of_a_cube_are_read_round_its_edges_as_by_scipy() -> None:
    rng = np.random.default_rng(2)
    cube = rng.normal(size=(8, 8, 8, 2)).astype(np.float32)
    places = rng.uniform(-12.0, 20.0, (200, 3))
    found = np.array([around(cube, *place) for place in places])
    for k in range(2):
        expected = map_coordinates(cube[..., k], places.T, order=1, mode="grid-wrap")
        np.testing.assert_allclose(found[:, k], expected, atol=1e-4)


def test_a_ray_is_carried_into_both_kinds_of_cells() -> None:
    """Source, and the way of a millimetre, of the pixel three rows down and five columns over."""
    rng = np.random.default_rng(3)
    rays = rng.normal(size=(4, 3)) * [[100.0], [10.0], [0.3], [0.3]]
    turns = Rotation.random(2, random_state=4).as_matrix() * 2.5
    shifts = rng.normal(size=(2, 3))
    cells = np.concatenate([np.column_stack(each) for each in zip(turns, shifts, strict=True)])
    start, way = np.empty(6), np.empty(6)
    long = along_ray(rays, cells, 3, 5, start, way)
    ray = rays[1] + 5 * rays[2] + 3 * rays[3] - rays[0]
    assert long == pytest.approx(np.linalg.norm(ray))
    for k in range(2):
        own = slice(3 * k, 3 * k + 3)
        assert start[own] == pytest.approx(turns[k] @ rays[0] + shifts[k])
        assert way[own] == pytest.approx(turns[k] @ ray / long)


def test_a_ray_crosses_a_block_between_its_faces() -> None:
    """From 2 cells before a block of 10 to beyond it, half a cell a millimetre."""
    start, way = np.array([-2.0, 4.0, 4.0]), np.array([0.5, 0.0, 0.0])
    enter, leave = block_crossing((11, 11, 11), start, way, 100.0)
    assert (enter, leave) == pytest.approx((4.0, 24.0), abs=0.01)
    assert block_crossing((11, 11, 11), start, way, 20.0)[1] == 20.0
    beside = np.array([-2.0, 4.0, 40.0])
    assert block_crossing((11, 11, 11), beside, way, 100.0)[1] < 0.0


def test_bone_is_softer_beside_cortex_and_deep_inside_wide_bone() -> None:
    """A softer edge leaves less between bone and none: the share lies nearer to a half."""
    cube = np.full((8, 8, 8, 2), 0.5, dtype=np.float32)
    cortex, wide = TRABECULAE.cortex, TRABECULAE.wide_bone
    marching = Marching(step_mm=0.2, jaw=TRABECULAE.upper, figures=TRABECULAE)
    slow = (0.0, 0.0, 0.0, 0.55, 0.4)  # sheets that end a twentieth beyond this place

    def share(far_mm: float) -> float:
        return bone_share(cube, 1.0, 2.0, 3.0, far_mm, slow, marching)

    inside = 0.05 / 0.4
    assert share(-cortex.reach_mm - 1e-6) == pytest.approx(
        0.5 + inside / (1.0 + wide.softer_per_mm * (cortex.reach_mm - wide.from_mm)), abs=1e-4
    )
    denser = 0.55 * (1.0 + TRABECULAE.upper.at_cortex_share) - 0.5
    beside = share(-cortex.beside_mm)
    assert beside == pytest.approx(0.5 + denser / 0.4 / (1.0 + cortex.softer), abs=1e-4)
    assert share(-3.0) < share(-2.0) < 0.5 + inside

"""The length of every ray inside closed surfaces: closed forms, brute force, balance."""

from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest
from numpy.typing import NDArray

from bitewright.film.path_lengths import (
    PathLengths,
    SourceInsideSceneError,
    UnbalancedPixelsError,
    path_lengths,
)
from bitewright.film.receptor_grid import ReceptorGrid
from bitewright.film.shell_stack import ShellStack, path_lengths_of_stack
from bitewright.row_bands import Threads
from bitewright.space import ClosedMesh, Pose, rotation_about_axis
from tests.brute_force_paths import brute_force_lengths_mm
from tests.closed_meshes import (
    box,
    icosphere,
    lattice_frustum,
    superellipsoid,
    without_triangles,
)

GRID = ReceptorGrid.covering(width_mm=41.0, height_mm=31.0, pixel_mm=0.25)
SOURCE_MM = np.array([25.0, -40.0, -310.0])
TURN = rotation_about_axis((1.0, 2.0, -0.5), 33.0)

SHAPES = {
    "sphere": icosphere((1.0, 2.0, -15.0), 6.0),
    "superellipsoid": superellipsoid((-3.0, 1.0, -18.0), (4.0, 6.0, 5.0), 3.5),
    "turned box": box((0.0, 0.0, -20.0), (9.0, 7.0, 5.0), TURN),
    "sliver": superellipsoid((2.0, -3.0, -12.0), (12.0, 0.15, 6.0), 2.0),
    "through the receptor": icosphere((-2.0, 0.0, -1.0), 5.0),
}


def rays_mm(grid: ReceptorGrid, source_mm: NDArray[np.float64]) -> NDArray[np.float64]:
    """From the source to every pixel, shape (rows, columns, 3)."""
    u, v = np.meshgrid(grid.u_mm, grid.v_mm)
    return np.stack([u, v, np.zeros_like(u)], axis=-1) - source_mm


def test_an_upright_box_by_the_slab_method() -> None:
    """Flat faces: the answer is exact but for float32 rounding, also on the rim."""
    centre, size = np.array([2.1, -1.3, -14.0]), np.array([8.0, 6.0, 5.0])
    lengths_mm = path_lengths([box(centre, size)], [0], SOURCE_MM, GRID).lengths_mm[0]
    rays = rays_mm(GRID, SOURCE_MM)
    ends = [(centre + side * size / 2.0 - SOURCE_MM) / rays for side in (-1.0, 1.0)]
    entry, leave = np.minimum(*ends).max(axis=-1), np.maximum(*ends).min(axis=-1)
    expected_mm = np.maximum(leave - entry, 0.0) * np.linalg.norm(rays, axis=-1)
    assert expected_mm.max() > 5.0
    assert np.abs(lengths_mm - expected_mm).max() < 2e-4


def test_an_oblique_slab_is_thickness_over_cosine() -> None:
    """Rays that enter and leave through the large faces of a tilted slab."""
    tilt = rotation_about_axis((0.0, 1.0, 0.0), 25.0)
    slab = box((0.0, 0.0, -40.0), (300.0, 300.0, 4.0), tilt)
    lengths_mm = path_lengths([slab], [0], SOURCE_MM, GRID).lengths_mm[0]
    rays = rays_mm(GRID, SOURCE_MM)
    cosines = (rays @ tilt[:, 2]) / np.linalg.norm(rays, axis=-1)
    inner = np.s_[10:-10, 70:]  # elsewhere the slab reaches behind the receptor
    assert np.abs(lengths_mm[inner] - 4.0 / cosines[inner]).max() < 1e-4


def test_a_sphere_comes_nearer_with_each_subdivision() -> None:
    """Facets lie inside the sphere; their error falls to a quarter with each halving."""
    centre, radius = np.array([1.0, 2.0, -15.0]), 6.0
    rays = rays_mm(GRID, SOURCE_MM)
    along = rays / np.linalg.norm(rays, axis=-1)[..., None]
    to_centre = centre - SOURCE_MM
    nearest2 = (to_centre**2).sum() - (along @ to_centre) ** 2
    chord_mm = 2.0 * np.sqrt(np.maximum(radius**2 - nearest2, 0.0))
    errors_mm = []
    for subdivisions in (3, 4, 5):
        sphere = icosphere(centre, radius, subdivisions)
        lengths_mm = path_lengths([sphere], [0], SOURCE_MM, GRID).lengths_mm[0]
        assert (lengths_mm <= chord_mm + 1e-3).all()
        errors_mm.append(np.sqrt(np.mean((lengths_mm - chord_mm)[chord_mm > 0] ** 2)))
    assert errors_mm[2] < 0.01  # the outline is of first order, the rest of second
    assert errors_mm[0] > 3.0 * errors_mm[1] > 9.0 * errors_mm[2]


@pytest.mark.parametrize("name", SHAPES)
def test_brute_force_agrees(name: str) -> None:
    """Every ray against every triangle in float64, inside and along the outline."""
    mesh = SHAPES[name]
    lengths_mm = path_lengths([mesh], [0], SOURCE_MM, GRID).lengths_mm[0]
    pixels = inner_and_outline_pixels(lengths_mm, np.random.default_rng(5))
    assert len(pixels) > 150
    rows, columns = pixels.T
    pixels_mm = np.stack([GRID.u_mm[columns], GRID.v_mm[rows], np.zeros(len(pixels))], axis=1)
    expected_mm, balances = brute_force_lengths_mm(
        mesh.vertices_mm, mesh.triangles, SOURCE_MM, pixels_mm
    )
    differences = lengths_mm[rows, columns] - expected_mm
    assert not balances.any()
    assert np.abs(differences).max() < 1e-3
    assert np.median(np.abs(differences)) < 1e-5


def inner_and_outline_pixels(
    lengths_mm: NDArray[np.float32], generator: np.random.Generator
) -> NDArray[np.int64]:
    """Up to 200 pixels within the shadow and 200 beside its outline, as (row, column)."""
    hit = lengths_mm > 0
    outline = np.zeros_like(hit)
    for axis in (0, 1):
        for step in (-1, 1):
            outline |= hit != np.roll(hit, step, axis)
    chosen = [generator.permutation(np.argwhere(mask))[:200] for mask in (hit & ~outline, outline)]
    return np.concatenate(chosen)


def test_edges_through_pixel_centres_are_counted_once() -> None:
    """Every edge of the lattice runs through pixel centres and its sides along the rays."""
    cells, per_cell, pixel_mm, source_w_mm = 6, 5, 0.125, -256.0
    lattice = lattice_frustum(cells, per_cell, pixel_mm, source_w_mm)
    assert lattice.unmatched_edge_count() == 0
    grid = ReceptorGrid(columns=40, rows=38, pixel_mm=pixel_mm, first_u_mm=-0.5, first_v_mm=-0.25)
    source_mm = np.array([0.0, 0.0, source_w_mm])
    film = path_lengths([lattice], [0], source_mm, grid)
    expected_mm = np.zeros(grid.shape)
    covered = np.s_[2 : 2 + cells * per_cell, 4 : 4 + cells * per_cell]
    expected_mm[covered] = 0.25 * np.linalg.norm(rays_mm(grid, source_mm), axis=-1)[covered]
    assert film.unbalanced_pixels == 0
    assert np.array_equal(film.lengths_mm[0] > 0, expected_mm > 0)
    assert film.lengths_mm[0] == pytest.approx(expected_mm, rel=1e-6)


@pytest.mark.parametrize("off_axis_mm", [1e-7, 1e-6, 1e-5, 1e-3])
def test_walls_all_but_along_the_rays_do_not_spike(off_axis_mm: float) -> None:
    """Seen nearly edge-on, a wall's depth runs away between pixels unless held to its own range."""
    lattice = lattice_frustum(6, 5, 0.125, -256.0)
    grid = ReceptorGrid(columns=40, rows=38, pixel_mm=0.125, first_u_mm=-0.5, first_v_mm=-0.25)
    for u, v in ((1.0, 0.0), (0.0, 1.0), (1.0, 1.0), (-1.0, 0.3)):
        source_mm = (off_axis_mm * u, off_axis_mm * v, -256.0)
        film = path_lengths([lattice], [0], source_mm, grid).checked()
        assert film.lengths_mm.min() > -1e-3
        assert film.lengths_mm.max() < 64.1  # a quarter of the way, the slab's whole depth


@pytest.mark.parametrize("name", SHAPES)
def test_rays_leave_as_often_as_they_enter(name: str) -> None:
    film = path_lengths([SHAPES[name]], [0], SOURCE_MM, GRID)
    assert film.checked() is film
    assert film.lengths_mm.max() > 0.1
    assert film.lengths_mm.min() > -1e-5


def test_an_open_mesh_shows() -> None:
    film = path_lengths([without_triangles(SHAPES["sphere"], 40)], [0], SOURCE_MM, GRID)
    assert film.unbalanced_pixels > 10
    with pytest.raises(UnbalancedPixelsError, match=str(film.unbalanced_pixels)):
        film.checked()


def test_signs_of_an_open_mesh_are_those_of_brute_force() -> None:
    """Rows out of balance are looked through pixel by pixel."""
    mesh = without_triangles(SHAPES["sphere"], 40)
    film = path_lengths([mesh], [0], SOURCE_MM, GRID)
    rows, columns = np.argwhere(film.signs).T
    pixels_mm = np.stack([GRID.u_mm[columns], GRID.v_mm[rows], np.zeros(len(rows))], axis=1)
    _, balances = brute_force_lengths_mm(mesh.vertices_mm, mesh.triangles, SOURCE_MM, pixels_mm)
    assert len(rows) > 20
    assert np.array_equal(film.signs[rows, columns], balances)


@pytest.mark.parametrize("columns", [1, 3, 7, 8, 9, 17])
def test_a_narrow_film_shows_the_same_pixels(columns: int) -> None:
    """Fewer columns than are taken at a time, or not a multiple of them."""
    step = (GRID.columns - columns) // 2
    window = ReceptorGrid(
        columns=columns,
        rows=GRID.rows,
        pixel_mm=GRID.pixel_mm,
        first_u_mm=GRID.first_u_mm + step * GRID.pixel_mm,
        first_v_mm=GRID.first_v_mm,
    )
    whole = path_lengths([SHAPES["sphere"]], [0], SOURCE_MM, GRID).lengths_mm[0]
    narrow = path_lengths([SHAPES["sphere"]], [0], SOURCE_MM, window).checked().lengths_mm[0]
    assert narrow.max() > 5.0
    assert np.abs(narrow - whole[:, step : step + columns]).max() < 1e-3


def test_a_mesh_inside_out_counts_backwards() -> None:
    sphere = SHAPES["sphere"]
    inside_out = ClosedMesh(sphere.vertices_mm, sphere.triangles[:, ::-1])
    there, back = (path_lengths([m], [0], SOURCE_MM, GRID) for m in (sphere, inside_out))
    assert back.unbalanced_pixels == 0
    assert back.lengths_mm == pytest.approx(-there.lengths_mm, abs=1e-5)


def test_what_lies_behind_the_receptor_counts_nothing() -> None:
    behind = icosphere((0.0, 0.0, 8.0), 5.0)
    film = path_lengths([behind], [0], SOURCE_MM, GRID)
    assert film.unbalanced_pixels == 0
    assert not film.lengths_mm.any()


def test_groups_are_summed_apart() -> None:
    outer, inner = icosphere((0.0, 0.0, -15.0), 6.0), icosphere((0.0, 0.0, -15.0), 3.0)
    beside = icosphere((-12.0, 0.0, -15.0), 3.0)
    film = path_lengths([outer, inner, beside], [2, 0, 0], SOURCE_MM, GRID)
    alone = [path_lengths([m], [0], SOURCE_MM, GRID).lengths_mm[0] for m in (outer, inner, beside)]
    assert film.lengths_mm.shape == (3, *GRID.shape)
    assert np.array_equal(film.lengths_mm[2], alone[0])
    assert not film.lengths_mm[1].any()
    assert film.lengths_mm[0] == pytest.approx(alone[1] + alone[2], abs=1e-5)


def test_any_number_of_threads_gives_the_same_bits() -> None:
    meshes = list(SHAPES.values())
    alone = path_lengths(meshes, [0, 1, 0, 1, 0], SOURCE_MM, GRID)
    with ThreadPoolExecutor(3) as pool:
        for count in (2, 3, 500):
            shared = path_lengths(
                meshes,
                [0, 1, 0, 1, 0],
                SOURCE_MM,
                GRID,
                threads=Threads(count=count, map=pool.map),
            )
            assert np.array_equal(shared.lengths_mm, alone.lengths_mm)
            assert np.array_equal(shared.signs, alone.signs)


def test_a_stack_moves_as_its_meshes_do() -> None:
    pose = Pose(rotation_about_axis((0.0, 0.0, 1.0), 20.0), np.array([1.0, -2.0, -3.0]))
    meshes = [SHAPES["sphere"], SHAPES["turned box"]]
    poses = [pose, Pose.identity()]
    stack = ShellStack.of(meshes, [0, 1], frames=[0, 1])
    moved = [mesh.moved(by) for mesh, by in zip(meshes, poses, strict=True)]
    one_by_one = path_lengths(moved, [0, 1], SOURCE_MM, GRID)
    posed = path_lengths(meshes, [0, 1], SOURCE_MM, GRID, poses=poses)
    together = path_lengths_of_stack(stack, SOURCE_MM, GRID, poses=poses).checked()
    np.testing.assert_allclose(posed.lengths_mm, one_by_one.lengths_mm, atol=1e-5)
    np.testing.assert_allclose(together.lengths_mm, one_by_one.lengths_mm, atol=1e-5)


@pytest.mark.parametrize("aside_mm", [(18.0, 0.0), (-19.0, 2.0), (0.0, 13.5), (3.0, -14.0)])
def test_what_lies_partly_beside_the_receptor_is_passed_over_in_pieces(
    aside_mm: tuple[float, float],
) -> None:
    """Pieces beyond an edge are left out; each ray that meets the receptor keeps all of its own."""
    at_edge = Pose(np.eye(3), np.array([*aside_mm, 0.0]))
    sphere = icosphere((0.0, 0.0, -15.0), 12.0, 4)
    stack = ShellStack.of([sphere], [0])
    whole = path_lengths([sphere], [0], SOURCE_MM, GRID, poses=[at_edge]).checked()
    pieces = path_lengths_of_stack(stack, SOURCE_MM, GRID, poses=[at_edge]).checked()
    assert len(stack.ends) > 50
    assert (whole.lengths_mm > 0).any()
    np.testing.assert_allclose(pieces.lengths_mm, whole.lengths_mm, atol=1e-5)
    with ThreadPoolExecutor(3) as pool:
        shared = path_lengths_of_stack(
            stack, SOURCE_MM, GRID, poses=[at_edge], threads=Threads(count=3, map=pool.map)
        )
    assert np.array_equal(shared.lengths_mm, pieces.lengths_mm)


def test_balls_hold_their_pieces() -> None:
    stack = ShellStack.of([SHAPES["sphere"], SHAPES["sliver"]], [0, 1])
    owners = np.repeat(np.arange(len(stack.ends)), np.diff(stack.ends[:, 0], prepend=0))
    away = np.linalg.norm(stack.vertices_mm - stack.balls_mm[owners, :3], axis=1)
    assert (away <= stack.balls_mm[owners, 3]).all()
    assert stack.triangles.max() < np.diff(stack.ends[:, 0], prepend=0).max()


def test_an_empty_scene_has_no_lengths() -> None:
    stack = ShellStack.of([], [], group_count=2)
    film = path_lengths_of_stack(stack, SOURCE_MM, GRID)
    assert isinstance(film, PathLengths)
    assert film.lengths_mm.shape == (2, *GRID.shape)
    assert not film.lengths_mm.any()


@pytest.mark.parametrize("source_w_mm", [10.0, 0.0, -15.0])
def test_the_source_must_lie_before_the_scene(source_w_mm: float) -> None:
    with pytest.raises(SourceInsideSceneError) as failure:
        path_lengths([SHAPES["sphere"]], [0], (0.0, 0.0, source_w_mm), GRID)
    assert failure.value.source_w_mm == source_w_mm

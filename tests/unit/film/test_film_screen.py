"""What is passed over casts no shadow; what lies beside the film is known by its side."""

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.spatial.transform import Rotation

from bitewright.film.film_screen import (
    ABOVE,
    BELOW,
    LEFT_OF,
    RIGHT_OF,
    TOO_NEAR,
    beyond,
    empty_screen,
    look_beside,
    passes_by,
    project_surface,
)

Floats = NDArray[np.float64]

SOURCE = np.array([3.0, -2.0, -300.0])
PIXEL_MM, COLUMNS, BAND = 0.5, 40, (10, 30)
VIEW = np.array([*SOURCE, -10.0, -10.0, PIXEL_MM])
STRAIGHT = np.eye(3, 4)


def shadow(points: Floats) -> Floats:
    """Column and row of each point's shadow."""
    ray = points - SOURCE
    at = SOURCE[:2] + ray[:, :2] * (-SOURCE[2] / ray[:, 2])[:, None]
    return (at - VIEW[3:5]) / PIXEL_MM


def test_vertices_are_put_where_their_shadows_fall() -> None:
    rng = np.random.default_rng(1)
    pose = np.column_stack([Rotation.random(random_state=2).as_matrix(), [1.0, 2.0, -20.0]])
    vertices = rng.uniform(-8.0, 8.0, (50, 3))
    screen = empty_screen(50)
    nearest, is_seen = project_surface(vertices, pose, VIEW, BAND, COLUMNS, screen)
    placed = vertices @ pose[:, :3].T + pose[:, 3]
    np.testing.assert_allclose(np.stack(screen[:2], axis=1), shadow(placed), atol=1e-3)
    way = (placed[:, 2] - SOURCE[2]) / -SOURCE[2]
    np.testing.assert_allclose(screen[2], 1.0 / way - 1.0, atol=1e-5)
    assert is_seen
    assert nearest == np.inf


def test_each_vertex_is_known_by_the_sides_it_lies_beyond() -> None:
    """To the left of column 0 or above the first row no pixel's centre is reached."""
    across = np.array([-3.0, 20.0, 45.0], dtype=np.float32)
    down = np.array([5.0, 20.0, 33.0], dtype=np.float32)
    screen = (
        np.tile(across, 3),
        np.repeat(down, 3),
        np.full(9, 0.1, dtype=np.float32),
        np.zeros(9, dtype=np.int32),
    )
    by_all, by_any = look_beside(screen, VIEW, BAND, COLUMNS)
    columns, rows = (LEFT_OF, 0, RIGHT_OF), (ABOVE, 0, BELOW)
    assert screen[3].tolist() == [column + row for row in rows for column in columns]
    assert (by_all, by_any) == (0, LEFT_OF | RIGHT_OF | ABOVE | BELOW)


@pytest.mark.parametrize("depth", [-1.5, 400.0])
def test_behind_or_too_near_the_source_is_a_side_too(depth: float) -> None:
    one = np.full(1, 20.0, dtype=np.float32)
    screen = one, one, np.full(1, depth, dtype=np.float32), np.zeros(1, dtype=np.int32)
    assert look_beside(screen, VIEW, BAND, COLUMNS) == (TOO_NEAR, TOO_NEAR)


def test_a_surface_that_comes_too_near_the_source_tells_how_near() -> None:
    near = np.array([[0.0, 0.0, -10.0], [1.0, 0.0, -299.6], [0.0, 1.0, -20.0]])
    nearest, is_seen = project_surface(near, STRAIGHT, VIEW, BAND, COLUMNS, empty_screen(3))
    assert nearest == pytest.approx(0.4)
    assert not is_seen


def test_what_is_passed_over_casts_no_shadow_on_the_band() -> None:
    """Against points all over many balls, moved by poses of every kind."""
    rng = np.random.default_rng(3)
    around = rng.normal(size=(400, 3))
    around /= np.linalg.norm(around, axis=1)[:, None]
    passed = 0
    for turn in Rotation.random(300, random_state=4).as_matrix():
        pose = np.column_stack([turn, rng.uniform([-20, -20, -120], [20, 20, 0])])
        ball = np.array([*rng.uniform(-10.0, 10.0, 3), rng.uniform(0.5, 8.0)])
        points = (ball[:3] + ball[3] * around) @ turn.T + pose[:, 3]
        column, row = shadow(points).T
        is_on = (column > 0) & (column <= COLUMNS - 1) & (row > BAND[0]) & (row <= BAND[1] - 1)
        is_passed = passes_by(ball, pose, VIEW, BAND, COLUMNS)
        passed += is_passed
        assert not (is_passed and is_on.any())
        far_aside = (
            (column < -20).all()
            or (column > COLUMNS + 20).all()
            or (row < BAND[0] - 20).all()
            or (row > BAND[1] + 20).all()
        )
        assert is_passed or not far_aside
    assert 50 < passed < 250


def test_what_reaches_the_sources_plane_is_never_passed_over() -> None:
    aside = np.array([200.0, 0.0, -298.0, 5.0])
    assert not passes_by(aside, STRAIGHT, VIEW, BAND, COLUMNS)
    assert passes_by(np.array([200.0, 0.0, -280.0, 5.0]), STRAIGHT, VIEW, BAND, COLUMNS)


def test_a_ball_is_beyond_a_plane_by_its_radius() -> None:
    """A plane through a source 4 mm up and an edge 3 mm aside leans by 3 in 5."""
    for radius, is_beyond in ((0.79, True), (0.81, False)):
        assert beyond(4.0, 3.0, 4.0, -4.0, radius) == is_beyond

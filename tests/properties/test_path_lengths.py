"""What must hold of path lengths whatever the scene."""

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from bitewright.film.path_lengths import path_lengths
from bitewright.film.receptor_grid import ReceptorGrid
from bitewright.space import ClosedMesh, Pose, rotation_about_axis
from tests.closed_meshes import box, icosphere, mirrored, scaled, superellipsoid

GRID = ReceptorGrid.centred(columns=66, rows=50, pixel_mm=0.5)
ROUNDING_MM = 2e-3  # a moved outline is rounded anew; there a length may change by this much

places_mm = st.tuples(st.floats(-14.0, 14.0), st.floats(-10.0, 10.0), st.floats(-40.0, -9.0))
sources_mm = st.tuples(st.floats(-90.0, 90.0), st.floats(-90.0, 90.0), st.floats(-400.0, -150.0))
angles_deg = st.floats(-180.0, 180.0)


@st.composite
def scenes(draw: st.DrawFn) -> list[ClosedMesh]:
    """One to three bodies within reach of the receptor."""
    bodies = []
    for _ in range(draw(st.integers(1, 3))):
        place = draw(places_mm)
        turn = rotation_about_axis((1.0, -2.0, 0.7), draw(angles_deg))
        kind = draw(st.sampled_from(["box", "sphere", "superellipsoid"]))
        if kind == "box":
            bodies.append(box(place, (9.0, 4.0, 6.0), turn))
        elif kind == "sphere":
            bodies.append(icosphere(place, draw(st.floats(0.5, 7.0)), 2))
        else:
            bodies.append(superellipsoid(place, (3.0, 5.0, 4.0), draw(st.floats(1.5, 5.0)), 2))
    return bodies


def lengths_mm(
    bodies: list[ClosedMesh], source_mm: object, grid: ReceptorGrid = GRID
) -> NDArray[np.float32]:
    """Lengths in one group, the balance of every pixel checked."""
    film = path_lengths(bodies, [0] * len(bodies), np.asarray(source_mm), grid)
    return film.checked().lengths_mm[0]


@settings(max_examples=40)
@given(bodies=scenes(), source_mm=sources_mm)
def test_no_length_is_negative_or_longer_than_the_bodies(
    bodies: list[ClosedMesh], source_mm: tuple[float, float, float]
) -> None:
    lengths = lengths_mm(bodies, source_mm)
    across = sum(np.linalg.norm(np.ptp(body.vertices_mm, axis=0)) for body in bodies)
    assert lengths.min() > -1e-4
    assert lengths.max() <= across + 1e-3


@settings(max_examples=25)
@given(bodies=scenes(), source_mm=sources_mm, factor=st.floats(0.2, 5.0))
def test_everything_twice_as_large_is_twice_as_long(
    bodies: list[ClosedMesh], source_mm: tuple[float, float, float], factor: float
) -> None:
    grid = ReceptorGrid.centred(columns=66, rows=50, pixel_mm=0.5 * factor)
    larger = lengths_mm([scaled(b, factor) for b in bodies], np.multiply(source_mm, factor), grid)
    assert np.abs(larger / factor - lengths_mm(bodies, source_mm)).max() < ROUNDING_MM


@settings(max_examples=25)
@given(bodies=scenes(), source_mm=sources_mm, axis=st.sampled_from([0, 1]))
def test_a_mirrored_scene_gives_the_mirrored_image(
    bodies: list[ClosedMesh], source_mm: tuple[float, float, float], axis: int
) -> None:
    flipped = [-x if i == axis else x for i, x in enumerate(source_mm)]
    there = lengths_mm([mirrored(body, axis) for body in bodies], flipped)
    back = np.flip(there, axis=1 - axis)
    assert np.abs(back - lengths_mm(bodies, source_mm)).max() < ROUNDING_MM


@settings(max_examples=25)
@given(bodies=scenes(), source_mm=sources_mm, angle_deg=angles_deg, place=places_mm)
def test_moving_everything_together_changes_nothing(
    bodies: list[ClosedMesh],
    source_mm: tuple[float, float, float],
    angle_deg: float,
    place: tuple[float, float, float],
) -> None:
    """Mouth, tube and receptor carried elsewhere: the receptor sees the same."""
    elsewhere = Pose(rotation_about_axis((0.3, 1.0, -0.2), angle_deg), np.array(place))
    receptor_from_elsewhere = elsewhere.inverse()
    source_elsewhere = elsewhere.points(source_mm)
    seen = [body.moved(elsewhere).moved(receptor_from_elsewhere) for body in bodies]
    there = lengths_mm(seen, receptor_from_elsewhere.points(source_elsewhere))
    assert np.abs(there - lengths_mm(bodies, source_mm)).max() < ROUNDING_MM


@settings(max_examples=25)
@given(
    bodies=scenes(),
    source_mm=sources_mm,
    step=st.tuples(st.integers(-9, 9), st.integers(-9, 9)),
)
def test_a_shifted_window_shows_the_same_pixels(
    bodies: list[ClosedMesh], source_mm: tuple[float, float, float], step: tuple[int, int]
) -> None:
    """A window a few pixels on, seen where the two overlap: no pixel depends on the frame."""
    right, down = step
    window = ReceptorGrid(
        columns=GRID.columns,
        rows=GRID.rows,
        pixel_mm=0.5,
        first_u_mm=GRID.first_u_mm + 0.5 * right,
        first_v_mm=GRID.first_v_mm + 0.5 * down,
    )
    whole, shifted = lengths_mm(bodies, source_mm), lengths_mm(bodies, source_mm, window)
    rows, columns = GRID.shape
    old = whole[max(down, 0) : rows + min(down, 0), max(right, 0) : columns + min(right, 0)]
    new = shifted[max(-down, 0) : rows - max(down, 0), max(-right, 0) : columns - max(right, 0)]
    assert np.abs(old - new).max() < ROUNDING_MM


@settings(max_examples=25)
@given(bodies=scenes(), source_mm=sources_mm)
def test_bodies_add_up(bodies: list[ClosedMesh], source_mm: tuple[float, float, float]) -> None:
    apart = sum(lengths_mm([body], source_mm).astype(np.float64) for body in bodies)
    assert np.abs(lengths_mm(bodies, source_mm) - apart).max() < 1e-4

"""Open directions of bodies whose answer is known: spheres, boxes, turned boxes."""

import numpy as np
import pytest

from bitewright.mouth.crown_lines import ROW_MM, CrownLines, crossings
from bitewright.mouth.open_direction import (
    across_beams,
    azimuth_along_deg,
    open_direction,
    overlaps_mm,
    silhouette_overlap_mm,
)
from bitewright.space import ClosedMesh, rotation_about_axis
from tests.closed_meshes import box, icosphere
from trials.closest_approach import closest_approach

WAYS = [(20.0, True), (20.0, False), (-5.0, True), (60.0, False)]


def apart(azimuth_deg: float, distance_mm: float, *, right: bool) -> np.ndarray:
    """Where the front body's middle lies if the contact is open in this direction."""
    return distance_mm * across_beams(np.array([azimuth_deg]), right=right)[0]


def lines(mesh: ClosedMesh) -> CrownLines:
    return CrownLines.of_mesh(mesh)


@pytest.mark.parametrize(("azimuth_deg", "right"), WAYS)
def test_spheres_overlap_least_square_to_their_middles(azimuth_deg: float, *, right: bool) -> None:
    """Off by d, two spheres of radius r in contact overlap by 2 r (1 - cos d).

    So facets of 0.003 mm shift the least by up to 2 degrees, the range around it hardly.
    """
    front = lines(icosphere(apart(azimuth_deg, 8.0, right=right), 4.0, 4))
    back = lines(icosphere((0.0, 0.0, 0.0), 4.0, 4))
    found = open_direction(front, back, right=right)
    assert found.open_azimuth_deg == pytest.approx(azimuth_deg, abs=2.5)
    low_deg, high_deg = found.range_deg
    assert 0.5 * (low_deg + high_deg) == pytest.approx(azimuth_deg, abs=0.3)
    assert found.overlap_mm == pytest.approx(0.0, abs=0.02)
    swing = np.rad2deg(np.arccos(1.0 - 0.10 / 8.0))
    assert high_deg - low_deg == pytest.approx(2.0 * swing, abs=0.4)


@pytest.mark.parametrize(("azimuth_deg", "right"), WAYS)
def test_flat_faces_overlap_by_their_width_times_the_sine(
    azimuth_deg: float, *, right: bool
) -> None:
    turn = rotation_about_axis((0, 0, 1), azimuth_deg if right else -azimuth_deg)
    assert azimuth_along_deg(turn @ (0.0, -1.0, 0.0), right=right) == pytest.approx(azimuth_deg)
    front = lines(box(apart(azimuth_deg, 7.0, right=right), (3.0, 7.0, 5.0), turn))
    back = lines(box((0.0, 0.0, 0.0), (3.0, 7.0, 5.0), turn))
    off = np.array([-10.0, -3.0, 0.0, 4.0])
    overlap = overlaps_mm(
        front.level_points_mouth(),
        back.level_points_mouth(),
        right=right,
        azimuths_deg=azimuth_deg + off,
    )
    assert overlap == pytest.approx(3.0 * np.sin(np.deg2rad(np.abs(off))), abs=1e-9)


def test_a_space_is_a_negative_overlap() -> None:
    back = lines(icosphere((0.0, 0.0, 0.0), 4.0, 4))
    front = lines(icosphere(apart(10.0, 8.5, right=True), 4.0, 4))
    assert open_direction(front, back, right=True).overlap_mm == pytest.approx(-0.5, abs=0.03)


def test_bodies_at_different_heights_have_no_overlap() -> None:
    back = lines(box((0.0, 0.0, 0.0), (3.0, 7.0, 5.0)))
    front = lines(box((0.0, -7.0, 20.0), (3.0, 7.0, 5.0)))
    points = front.level_points_mouth(), back.level_points_mouth()
    assert np.isnan(overlaps_mm(*points, right=True, azimuths_deg=np.array([0.0, 5.0]))).all()


@pytest.mark.parametrize("right", [True, False])
def test_both_ways_of_projecting_agree_on_level_beams(*, right: bool) -> None:
    back = lines(icosphere((0.0, 0.0, 0.0), 4.0))
    front = lines(icosphere(apart(15.0, 7.8, right=right), 4.0))
    azimuths = np.array([0.0, 14.0, 30.0])
    points = front.level_points_mouth(), back.level_points_mouth()
    level = overlaps_mm(*points, right=right, azimuths_deg=azimuths)
    slanted = silhouette_overlap_mm(
        front, back, azimuths, right=right, through_mouth=np.zeros(3), vertical_deg=0.0
    )
    assert slanted == pytest.approx(level, abs=1e-9)


@pytest.mark.parametrize("right", [True, False])
def test_a_tube_above_sees_farther_things_higher(*, right: bool) -> None:
    """A low body 20 mm nearer the tongue lines up with a high one only from above."""
    tongue = 1.0 if right else -1.0
    drop = 20.0 * np.tan(np.deg2rad(10.0))
    front = lines(box((tongue * 20.0, -6.5, -drop), (1.0, 7.0, 1.0)))
    back = lines(box((0.0, 0.0, 0.0), (1.0, 7.0, 1.0)))
    above, below = (
        silhouette_overlap_mm(
            front,
            back,
            np.array([0.0]),
            right=right,
            through_mouth=np.zeros(3),
            vertical_deg=vertical_deg,
        )
        for vertical_deg in (10.0, -10.0)
    )
    assert above == pytest.approx([0.5], abs=1e-9)
    assert np.isnan(below).all()


def test_a_near_source_sees_farther_things_smaller() -> None:
    """The front box lies 35 mm nearer the tongue: its edge is seen at 350 / 385.1."""
    through = np.array([0.0, 0.0, 0.0])
    front = lines(box((35.0, -7.0, 0.0), (0.2, 7.0, 5.0)))
    back = lines(box((0.0, 0.0, 0.0), (0.2, 7.0, 5.0)))
    found = silhouette_overlap_mm(
        front, back, np.array([0.0]), right=True, through_mouth=through, source_mm=350.0
    )
    assert found[0] == pytest.approx(3.5 * 350 / 349.9 - 3.5 * 350 / 385.1, abs=1e-6)


def test_crossings_lie_on_the_rows_and_on_the_lines() -> None:
    start, end = np.array([[0.0, 0.05]]), np.array([[3.0, 0.35]])
    found = crossings(start, end)
    assert found == pytest.approx(np.array([[0.5, 0.1], [1.5, 0.2], [2.5, 0.3]]))
    assert crossings(end, start) == pytest.approx(found)
    assert not len(crossings(start, start))
    assert ROW_MM == 0.1


def test_lines_are_cut_to_a_range_of_heights() -> None:
    cut = lines(icosphere((0.0, 0.0, 0.0), 4.0)).between(-1.0, 2.0)
    heights = np.concatenate([cut.starts_mouth[:, 2], cut.ends_mouth[:, 2]])
    assert heights.min() == pytest.approx(-1.0)
    assert heights.max() == pytest.approx(2.0)


@pytest.mark.parametrize(("azimuth_deg", "right"), WAYS)
@pytest.mark.parametrize("apart_mm", [-0.4, 0.0, 0.3])
def test_spheres_come_nearest_between_their_middles(
    azimuth_deg: float, *, right: bool, apart_mm: float
) -> None:
    middle = apart(azimuth_deg, 8.0 + apart_mm, right=right)
    found = closest_approach(
        icosphere(middle, 4.0, 4), icosphere((0.0, 0.0, 0.0), 4.0, 4), right=right
    )
    assert found.apart_mm == pytest.approx(apart_mm, abs=0.03)
    assert found.point_mouth == pytest.approx(0.5 * middle, abs=0.05)
    assert found.open_azimuth_deg == pytest.approx(azimuth_deg, abs=0.5)
    assert found.normal_mouth @ middle > 0.0

"""Trabeculae: fixed in the jaw, so they move and change with the tube; the same on both sides."""

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.ndimage import map_coordinates

from bitewright.exposing.aim import Aim
from bitewright.exposing.exposure import Exposures, expose
from bitewright.exposing.placement import Placement
from bitewright.film.jaw_rays import rays_in_jaw
from bitewright.film.receptor_grid import ReceptorGrid
from bitewright.film.shells import ShellGroup
from bitewright.film.trabeculae import add_trabeculae, extra_bone_mm, stretched
from bitewright.film.trabecular_network import TRABECULAE, network_cube
from bitewright.solids.spongiosa import SpongiosaField
from tests.scenes import station_of

Floats = NDArray[np.float64]

GRID = ReceptorGrid.covering(width_mm=24.0, height_mm=12.0, pixel_mm=0.1)
SLAB_MM = (10.5, 13.5)
"""A slab of spongiosa before the receptor, parallel to it: nearest and furthest face."""


def exposed(swing_deg: float) -> Exposures:
    """The standard mouth, the tube swung forward round the receptor's centre."""
    aim = Aim(ring_offset_deg=swing_deg, vertical_deg=0.0)
    return expose(station_of("right-molar"), Placement(lingual_mm=4.0), aim)


def slab(exposure: Exposures) -> SpongiosaField:
    """A plain slab in the upper jaw, so that its depth is known."""
    axes, centre = exposure.seat.axes_mouth[0], exposure.seat.centres_mouth[0]
    lines = [np.arange(c - 24.0, c + 24.0, 0.5) for c in centre]
    points = np.stack(np.meshgrid(*lines, indexing="ij"), axis=-1)
    before = -(points - centre) @ axes[2]
    near, far = SLAB_MM
    distance = np.abs(before - 0.5 * (near + far)) - 0.5 * (far - near)
    return SpongiosaField(
        distance_mm=np.minimum(distance, 3.0).astype(np.float32),
        origin_mouth=np.array([line[0] for line in lines]),
        cell_mm=0.5,
        grain_axes_mouth=axes[[0, 2, 1]] * np.array([[1.0], [-1.0], [-1.0]]),
        grain_origin_mouth=centre,
        is_lower=False,
    )


def texture(exposure: Exposures, field: SpongiosaField, step_mm: float = 0.2) -> Floats:
    rays = rays_in_jaw(exposure, GRID, skipped=1, is_lower=False)
    asked = np.ones(GRID.shape, dtype=np.float32)
    return np.asarray(extra_bone_mm(field, rays, asked, step_mm=step_mm), dtype=np.float64)


def likeness(one: Floats, other: Floats, columns: int) -> float:
    """Correlation with another image moved to the right, and by what it moved up or down."""
    rows, margin = 10, 30
    inner = one[rows:-rows, margin:-margin].ravel()
    high, wide = other.shape
    return max(
        float(
            np.corrcoef(
                inner,
                other[
                    rows + down : high - rows + down, margin + columns : wide - margin + columns
                ].ravel(),
            )[0, 1]
        )
        for down in range(-5, 6)
    )


@pytest.mark.parametrize("swing_deg", [6.0, -6.0])
def test_the_texture_moves_by_depth_times_tangent_and_changes(swing_deg: float) -> None:
    straight, swung = exposed(0.0), exposed(swing_deg)
    field = slab(straight)
    here, there = texture(straight, field), texture(swung, field)
    shifts = np.arange(-28, 29)
    alike = np.array([likeness(here, there, int(k)) for k in shifts])
    best = shifts[alike.argmax()] * GRID.pixel_mm
    depth = np.mean(SLAB_MM)
    expected = depth * np.tan(np.deg2rad(6.0))
    assert abs(best) == pytest.approx(expected, abs=0.25)
    # Its near face moves 0.3 mm less than its far one: it is not the same texture any more.
    assert 0.2 < alike.max() < 0.95
    assert alike[shifts == 0][0] < 0.6 * alike.max()
    # Swung forward, the tube throws the shadow backwards: to the left of a right-side film.
    assert np.sign(best) == -np.sign(swing_deg)


def test_a_step_twice_as_long_changes_little() -> None:
    exposure = exposed(0.0)
    field = slab(exposure)
    fine, full, preview = (texture(exposure, field, step) for step in (0.1, 0.2, 0.4))
    assert (full - fine).std() < 0.05 * fine.std()
    assert (preview - fine).std() < 0.2 * fine.std()


def test_rays_beside_the_bone_meet_none_of_it() -> None:
    exposure = exposed(0.0)
    field = slab(exposure)
    empty = SpongiosaField(
        distance_mm=np.full_like(field.distance_mm, 3.0),
        origin_mouth=field.origin_mouth,
        cell_mm=field.cell_mm,
        grain_axes_mouth=field.grain_axes_mouth,
        grain_origin_mouth=field.grain_origin_mouth,
        is_lower=False,
    )
    assert (texture(exposure, empty) == 0.0).all()


def test_the_cube_joins_itself_and_holds_no_trend() -> None:
    cube = network_cube()
    inner = np.abs(np.diff(cube, axis=0)).mean()
    assert np.abs(cube[0] - cube[-1]).mean() == pytest.approx(inner, rel=0.1)
    assert abs(float(cube.mean())) < 0.01


@pytest.mark.parametrize("times", [2, 3])
def test_rows_between_rows_lie_on_straight_lines(times: int) -> None:
    image = np.random.default_rng(2).random((7, 5)).astype(np.float32)
    shape = ((image.shape[0] - 1) * times + 1, image.shape[1])
    rows, columns = np.indices(shape)
    expected = map_coordinates(image, [rows / times, columns], order=1)
    np.testing.assert_allclose(stretched(image, times), expected, atol=1e-6)


def test_texture_is_weaker_beside_a_root() -> None:
    """By the share of the table where the ray also meets a whole root, by half of it at half."""
    exposure = exposed(0.0)
    field, roots = slab(exposure), TRABECULAE.roots
    changes = []
    for root_mm in (0.0, 0.5 * roots.whole_mm, 3.0 * roots.whole_mm):
        lengths = np.zeros((len(ShellGroup), *GRID.shape), dtype=np.float32)
        lengths[ShellGroup.SPONGIOSA] = 3.0
        lengths[ShellGroup.TOOTH] = root_mm
        add_trabeculae(lengths, exposure, GRID, (field,))
        changes.append(lengths[ShellGroup.SPONGIOSA] - np.float32(3.0))
    plain, half, whole = changes
    assert plain.std() > 0.1
    np.testing.assert_allclose(whole, (1.0 - roots.weaker_share) * plain, atol=1e-5)
    np.testing.assert_allclose(half, (1.0 - 0.5 * roots.weaker_share) * plain, atol=1e-5)

"""Swells of teeth and cheek: fixed in the patient, so they move with the tube as depth says."""

from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.ndimage import map_coordinates

from bitewright.exposing.aim import Aim
from bitewright.exposing.exposure import expose
from bitewright.exposing.placement import Placement
from bitewright.film.receptor_grid import ReceptorGrid
from bitewright.film.shells import ShellGroup
from bitewright.film.unevenness import (
    CELL_MM,
    add_unevenness,
    lengthen_rows,
    meeting,
    met,
    on_sheet,
    pattern,
)
from bitewright.row_bands import ALONE, Threads
from tests.scenes import station_of

Floats = NDArray[np.float64]
Floats32 = NDArray[np.float32]

GRID = ReceptorGrid.covering(width_mm=30.0, height_mm=20.0, pixel_mm=0.1)


def made(
    group: ShellGroup,
    *,
    view: str = "right-premolar",
    swing_deg: float = 0.0,
    grid: ReceptorGrid = GRID,
    threads: Threads = ALONE,
) -> Floats:
    """What 10 mm of a group become on every ray, less 10 mm."""
    aim = Aim(ring_offset_deg=swing_deg, vertical_deg=0.0)
    exposure = expose(station_of(view), Placement(lingual_mm=4.0), aim)
    lengths = np.zeros((len(ShellGroup), *grid.shape), dtype=np.float32)
    lengths[group] = 10.0
    add_unevenness(lengths, exposure, grid, threads=threads)
    return np.asarray(lengths[group] - np.float32(10.0), dtype=np.float64)


def best_shift(one: Floats, other: Floats, most: int) -> int:
    """By how many columns another image lies to the right of one."""
    inner = one[:, most:-most].ravel()
    wide = one.shape[1]
    return max(
        range(-most, most + 1),
        key=lambda k: np.corrcoef(inner, other[:, most + k : wide - most + k].ravel())[0, 1],
    )


@pytest.mark.parametrize(
    ("group", "most_mm"), [(ShellGroup.TOOTH, 0.4), (ShellGroup.SOFT_TISSUE, 0.8)]
)
def test_it_is_a_few_hundredths_and_even_on_the_whole(group: ShellGroup, most_mm: float) -> None:
    change = made(group)
    assert 0.05 < change.std() < most_mm
    assert abs(change.mean()) < 0.6 * change.std()


def test_only_teeth_and_soft_tissue_are_uneven() -> None:
    for group in set(ShellGroup) - {ShellGroup.TOOTH, ShellGroup.DENTINE, ShellGroup.SOFT_TISSUE}:
        assert (made(group) == 0.0).all()
    assert (made(ShellGroup.TOOTH) == made(ShellGroup.DENTINE)).all()


def test_the_cheek_moves_further_than_teeth_when_the_tube_swings() -> None:
    """Six degrees move what lies a depth before the receptor by a tenth of the depth."""
    shifts = {
        group: GRID.pixel_mm * abs(best_shift(made(group), made(group, swing_deg=6.0), 60))
        for group in (ShellGroup.TOOTH, ShellGroup.SOFT_TISSUE)
    }
    assert 0.5 < shifts[ShellGroup.TOOTH] < 2.0
    assert shifts[ShellGroup.SOFT_TISSUE] > shifts[ShellGroup.TOOTH] + 1.0


@pytest.mark.parametrize("group", [ShellGroup.TOOTH, ShellGroup.SOFT_TISSUE])
def test_a_mirrored_mouth_is_as_uneven(group: ShellGroup) -> None:
    right, left = (made(group, view=f"{side}-premolar") for side in ("right", "left"))
    np.testing.assert_allclose(right[:, ::-1], left, atol=1e-4)


def test_any_number_of_threads_makes_the_same() -> None:
    grid = ReceptorGrid.covering(width_mm=12.0, height_mm=9.0, pixel_mm=0.03)
    with ThreadPoolExecutor(3) as pool:
        shared = made(ShellGroup.TOOTH, grid=grid, threads=Threads(count=3, map=pool.map))
    assert (made(ShellGroup.TOOTH, grid=grid) == shared).all()


def test_finer_pixels_show_the_same_swells() -> None:
    fine = made(
        ShellGroup.SOFT_TISSUE,
        grid=ReceptorGrid.covering(width_mm=30.0, height_mm=20.0, pixel_mm=0.02),
    )
    means = fine.reshape(200, 5, 300, 5).mean(axis=(1, 3))
    coarse = made(ShellGroup.SOFT_TISSUE)
    assert (means - coarse).std() < 0.15 * coarse.std()


def test_a_pattern_joins_itself() -> None:
    sheet: Floats32 = pattern(1.2)
    inner = np.abs(np.diff(sheet, axis=0)).mean()
    assert np.abs(sheet[0] - sheet[-1]).mean() == pytest.approx(inner, rel=0.2)
    assert float(sheet.std()) == pytest.approx(1.0, rel=1e-3)


@pytest.mark.parametrize("skipped", [1, 3, 4])
def test_shares_are_drawn_straight_between_the_rays_they_are_known_for(skipped: int) -> None:
    rng = np.random.default_rng(1)
    rows, columns = 25, 37
    shape = ((rows - 1) // skipped + 2, (columns - 1) // skipped + 2)
    shares = (0.05 * rng.normal(size=shape)).astype(np.float32)
    lengths = rng.uniform(1.0, 9.0, (rows, columns)).astype(np.float32)
    longer = lengths.copy()
    lengthen_rows(longer, shares, skipped, (0, rows))
    places = np.indices((rows, columns)) / skipped
    expected = lengths * (1.0 + map_coordinates(shares, places, order=1))
    np.testing.assert_allclose(longer, expected, rtol=1e-5)


def test_a_pattern_is_read_round_its_edges_as_by_scipy() -> None:
    rng = np.random.default_rng(2)
    sheet = rng.normal(size=(16, 16)).astype(np.float32)
    places = rng.uniform(-3.0, 4.0, (100, 2))
    found = [on_sheet(sheet, y, z) for y, z in places]
    expected = map_coordinates(sheet, places.T / CELL_MM, order=1, mode="grid-wrap")
    np.testing.assert_allclose(found, expected, atol=1e-5)


def test_rays_meet_a_sheet_where_lines_meet_a_plane() -> None:
    rng = np.random.default_rng(3)
    rays = rng.normal(size=(4, 3)) * [[200.0], [10.0], [0.3], [0.3]]
    place, normal = np.array([-30.0, 4.0, -8.0]), np.array([0.8, 0.6, 0.0])
    source, first, right, down = rays
    for row, column in ((0, 0), (7, 3), (40, 90)):
        ray = first + column * right + row * down - source
        point = source + ray * (((place - source) @ normal) / (ray @ normal))
        assert met(meeting(rays, place, normal), row, column) == pytest.approx(point[1:])

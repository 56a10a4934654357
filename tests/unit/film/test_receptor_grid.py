"""Where pixels lie."""

import pytest

from bitewright.film.receptor_grid import ImpossibleGridError, ReceptorGrid


def test_pixel_zero_is_upper_left_and_the_middle_is_the_origin() -> None:
    grid = ReceptorGrid.covering(width_mm=4.0, height_mm=3.0, pixel_mm=0.5)
    assert grid.shape == (6, 8)
    assert grid.u_mm[0] == pytest.approx(-1.75)
    assert grid.v_mm[0] == pytest.approx(-1.25)
    assert grid.u_mm.sum() == pytest.approx(0.0)
    assert grid.v_mm.sum() == pytest.approx(0.0)


@pytest.mark.parametrize(
    ("width_mm", "height_mm", "pixel_mm"),
    [(0.0, 3.0, 0.5), (4.0, 0.1, 0.5), (4.0, 3.0, 0.0), (4.0, 3.0, -1.0), (4.0, 3.0, float("nan"))],
)
def test_a_grid_has_pixels(width_mm: float, height_mm: float, pixel_mm: float) -> None:
    with pytest.raises(ImpossibleGridError):
        ReceptorGrid.covering(width_mm=width_mm, height_mm=height_mm, pixel_mm=pixel_mm)


@pytest.mark.parametrize("shape", [(1, 5), (5, 1), (1, 1)])
def test_a_single_row_or_column_is_a_grid(shape: tuple[int, int]) -> None:
    rows, columns = shape
    grid = ReceptorGrid.covering(width_mm=0.5 * columns, height_mm=0.5 * rows, pixel_mm=0.5)
    assert grid.shape == shape
    assert (grid.u_mm.mean(), grid.v_mm.mean()) == (0.0, 0.0)

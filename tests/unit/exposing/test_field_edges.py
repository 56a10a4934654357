"""Where a beam's edge crosses the receptor, against the field that the film is exposed through."""

import numpy as np
import pytest
from numpy.typing import NDArray

from bitewright.exposing.aim import Aim
from bitewright.exposing.beam_cover import BEAM_PLACES, BeamPlace, beam_cover_mm
from bitewright.exposing.exposure import expose
from bitewright.exposing.field_edges import field_edge_receptor_mm
from bitewright.exposing.placement import Placement
from bitewright.film.beam_mask import beam_mask
from bitewright.film.receptor_grid import ReceptorGrid
from tests.scenes import station_of

PIXEL_MM = 0.1
NEAR_MM = 0.5
TUBES = ("rectangular-300", "round-300", "round-200")


@pytest.mark.parametrize("tube", TUBES)
@pytest.mark.parametrize("view_name", ["right-premolar", "left-molar"])
@pytest.mark.parametrize("cut_mm", [3.0, 10.0])
@pytest.mark.parametrize("way", ["tube_forward_mm", "tube_up_mm"])
def test_within_each_place_the_film_is_exposed_and_beyond_it_blank(
    tube: str, view_name: str, cut_mm: float, way: str
) -> None:
    at = station_of(view_name, "sensor-2", tube=tube)
    aim = {"vertical_deg": 8.0, "ring_offset_deg": -3.0}
    spare = beam_cover_mm(expose(at, Placement(), Aim(**aim)))[0]
    edge = BeamPlace.BACK if way == "tube_forward_mm" else BeamPlace.LOWER
    slide = cut_mm + float(spare[BEAM_PLACES.index(edge)])
    exposure = expose(at, Placement(), Aim(**aim, **{way: slide}))
    places = field_edge_receptor_mm(exposure)
    assert len(places) == (2 if tube.startswith("rectangular") else 7)
    grid = ReceptorGrid.covering(
        width_mm=2.0 * at.half_width_mm, height_mm=2.0 * at.half_height_mm, pixel_mm=PIXEL_MM
    )
    lit = beam_mask(exposure, grid) > 0.5
    rows, columns = lit.nonzero()
    middle = np.array([grid.u_mm[columns].mean(), grid.v_mm[rows].mean()])
    for place in places:
        outward = NEAR_MM * (place - middle) / np.linalg.norm(place - middle)
        assert _is_lit(lit, grid, place - outward)
        assert not _is_lit(lit, grid, place + outward)


def test_a_field_that_covers_the_receptor_has_no_edge_on_it() -> None:
    assert field_edge_receptor_mm(expose(station_of(), Placement(), Aim())).shape == (0, 2)


def _is_lit(lit: NDArray[np.bool_], grid: ReceptorGrid, place: NDArray[np.float64]) -> bool:
    """Whether the pixel nearest to a place on the receptor is exposed. [mm]"""
    row, column = np.abs(grid.v_mm - place[1]).argmin(), np.abs(grid.u_mm - place[0]).argmin()
    return bool(lit[row, column])

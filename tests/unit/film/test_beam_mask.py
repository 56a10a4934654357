"""The field's edge against rays cut at the tube's end."""

import numpy as np
import pytest

from bitewright.exposing.aim import Aim
from bitewright.exposing.exposure import expose
from bitewright.exposing.placement import Placement
from bitewright.film.beam_mask import beam_mask
from bitewright.film.receptor_grid import ReceptorGrid
from tests.scenes import station_of


@pytest.mark.parametrize("tube", ["rectangular-300", "round-200"])
def test_the_field_ends_where_the_tubes_opening_does(tube: str) -> None:
    """Softly: a straight ramp as wide as the focal spot is seen past the tube's end."""
    at = station_of("left-premolar", tube=tube)
    aim = Aim(ring_offset_deg=5.0, vertical_deg=-6.0, tube_forward_mm=17.0, tube_up_mm=9.0)
    exposures = expose(at, Placement(lingual_mm=5.0, turn_deg=6.0, roll_deg=3.0), aim)
    grid = ReceptorGrid.covering(width_mm=40.0, height_mm=30.0, pixel_mm=0.5)
    mask = beam_mask(exposures, grid)
    beam, seat = exposures.beam, exposures.seat
    u, v = np.meshgrid(grid.u_mm, grid.v_mm)
    axes = seat.axes_mouth[0]
    places = seat.centres_mouth[0] + u[..., None] * axes[0] + v[..., None] * axes[1]
    ray = places - beam.sources_mouth[0]
    grown = ray @ beam.rays_mouth[0] / beam.end_mm
    across, down = ray @ beam.across_mouth[0], ray @ beam.down_mouth[0]
    if beam.is_round:
        inside = beam.half_across_mm * grown - np.hypot(across, down)
    else:
        inside = np.minimum(
            beam.half_across_mm * grown - abs(across), beam.half_down_mm * grown - abs(down)
        )
    spot = at.tube.focal_spot_mm * at.holder.ring_to_receptor_mm / at.tube.source_to_end_mm
    assert np.allclose(mask, np.clip(0.5 + inside / spot, 0.0, 1.0), atol=1e-5)
    assert 0.05 < mask.mean() < 0.99

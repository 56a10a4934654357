"""Cheek and lips: thick behind, open in front, the same for every view of a side."""

import numpy as np
import pytest

from bitewright.exposing.aim import Aim
from bitewright.exposing.exposure import expose
from bitewright.exposing.placement import Placement
from bitewright.exposing.region_frame import region_frame
from bitewright.film.cheek import cheek
from bitewright.film.predicted_film import film_lengths
from bitewright.film.receptor_grid import ReceptorGrid
from bitewright.film.shells import ShellGroup
from bitewright.quality.views import view
from tests.scenes import film_mouth_of, outlines_of, station_of


@pytest.mark.slow
@pytest.mark.parametrize("name", ["right-premolar", "left-molar"])
def test_the_slab_is_closed_and_clear_of_the_bone(name: str) -> None:
    region = view(name).region
    slab = cheek(outlines_of(), region).checked()
    assert slab.volume_mm3 > 1000.0
    frame = region_frame(outlines_of(), region)
    inner = ((slab.vertices_mm - frame.middle_mouth) @ -frame.tongue_mouth).min()
    bones = [p.mesh.vertices_mm for p in film_mouth_of(name).parts if p.group == ShellGroup.BONE]
    near = [b[np.abs((b - frame.middle_mouth) @ frame.front_mouth) < 16.0] for b in bones]
    furthest = max(((b - frame.middle_mouth) @ -frame.tongue_mouth).max() for b in near)
    assert inner > furthest


@pytest.mark.slow
def test_between_the_teeth_it_is_thick_behind_and_all_but_gone_in_front() -> None:
    """As on one real plate: about 20 to 25 mm of tissue at the back, none in front."""
    at = station_of("right-premolar", "plate-2")
    exposure = expose(at, Placement(lingual_mm=5.0), Aim(ring_offset_deg=6.0, vertical_deg=7.0))
    grid = ReceptorGrid.covering(width_mm=41.0, height_mm=31.0, pixel_mm=0.2)
    inside = film_lengths(exposure, film_mouth_of(), grid).lengths_mm
    soft = inside[ShellGroup.SOFT_TISSUE]
    row = np.abs(grid.v_mm) < 1.5
    across = np.median(soft[row], axis=0)
    assert 12.0 < across[:8].mean() < 30.0
    assert across[-8:].mean() < 1.0
    assert (np.diff(across[::10]) < 1.5).all()


def test_both_views_of_a_side_have_one_cheek() -> None:
    slabs = [cheek(outlines_of(), view(name).region) for name in ("right-premolar", "right-molar")]
    volumes = [slab.volume_mm3 for slab in slabs]
    assert volumes[0] == pytest.approx(volumes[1], rel=1e-6)
    middles = [slab.vertices_mm.mean(axis=0) for slab in slabs]
    assert np.linalg.norm(middles[0] - middles[1]) < 6.0

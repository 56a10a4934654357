"""Teeth nobody here made: imported, rendered by our kernel, and set against our outlines."""

from pathlib import Path

import numpy as np
import pytest

from bitewright.dentition.scanned_teeth import AZIMUTHS_DEG, overlaps_mm
from bitewright.imaging.path_lengths import path_lengths
from bitewright.imaging.receptor_grid import ReceptorGrid
from bitewright.quality.criteria import overlap_limits
from bitewright.space import Pose
from bitewright.tasks.compare_anatomy import AnatomyComparison, compare_anatomy

pytestmark = pytest.mark.realdata

ATLAS = "real/atlas_teeth_ccbysa/teeth_mm"
SCAN = "real/scan_crowns_mit/subject_0"
FAR_MM = 50_000.0


@pytest.fixture(scope="module")
def atlas(shared_data: Path) -> AnatomyComparison:
    return compare_anatomy(shared_data / ATLAS, name="atlas")


@pytest.fixture(scope="module")
def scan(shared_data: Path) -> AnatomyComparison:
    return compare_anatomy(shared_data / SCAN, name="scan")


def test_atlas_teeth_are_closed_and_solid(atlas: AnatomyComparison) -> None:
    assert len(atlas.teeth.meshes) == 28
    for mesh in atlas.teeth.meshes.values():
        assert mesh.checked().volume_mm3 > 100.0


def test_our_kernel_renders_them_with_balanced_signs_and_their_own_volume(
    atlas: AnatomyComparison,
) -> None:
    """Seen from the right side by a far source, front of the mouth to the viewer's right."""
    receptor_from_mouth = Pose([[0, -1, 0], [0, 0, -1], [1, 0, 0]], [30.0, 0.0, -5.0])
    meshes = [
        mesh.moved(receptor_from_mouth)
        for code, mesh in atlas.teeth.meshes.items()
        if code // 10 in (1, 4)
    ]
    grid = ReceptorGrid.covering(width_mm=90.0, height_mm=80.0, pixel_mm=0.1)
    lengths = path_lengths(meshes, [0] * len(meshes), (0.0, 0.0, -FAR_MM), grid)
    assert (lengths.signs == 0).all()
    rendered = float(lengths.lengths_mm[0].sum(dtype=np.float64)) * grid.pixel_mm**2
    assert rendered == pytest.approx(sum(mesh.volume_mm3 for mesh in meshes), rel=0.01)
    canine, molar = (atlas.teeth.crown_points(code).mean(axis=0) for code in (13, 16))
    assert receptor_from_mouth.points(canine)[0] > receptor_from_mouth.points(molar)[0]


def test_outlines_of_the_atlas_sizes_open_in_its_directions(atlas: AnatomyComparison) -> None:
    """Measured: mean difference -0.2 degrees, SD 5.8, worst 9.8."""
    differences = np.array([contact.difference_deg for contact in atlas.contacts])
    assert len(differences) == 16
    assert abs(differences.mean()) < 2.0
    assert differences.std() < 7.0
    assert np.abs(differences).max() < 12.0


def test_outlines_follow_a_real_persons_teeth_less_well(scan: AnatomyComparison) -> None:
    """Measured: median size of the differences 8 degrees.

    Single teeth are turned, and scanned crowns stand apart, so a contact beside a space has no
    direction of its own to find.
    """
    differences = np.array([contact.difference_deg for contact in scan.contacts])
    assert abs(np.median(differences)) < 4.0
    assert np.median(np.abs(differences)) < 10.0


def test_open_directions_swing_forward_from_the_molars_to_the_canine(
    atlas: AnatomyComparison,
) -> None:
    """Common practice, no source; 16 to 21 degrees on published arch curves."""
    degrees = {contact.pair: contact.scan_deg for contact in atlas.contacts}
    for quadrant in (1, 2, 3, 4):
        front = degrees[10 * quadrant + 3, 10 * quadrant + 4]
        back = degrees[10 * quadrant + 6, 10 * quadrant + 7]
        assert 4.0 < front - back < 30.0


def test_no_level_beam_opens_all_of_a_sides_contacts(atlas: AnatomyComparison) -> None:
    """Common practice, no source."""
    for quadrants in ((1, 4), (2, 3)):
        above_least = []
        for contact in atlas.contacts:
            if contact.pair[0] // 10 in quadrants:
                front, back = (atlas.teeth.crown_points(code) for code in contact.pair)
                overlap = overlaps_mm(
                    front, back, right=quadrants == (1, 4), azimuths_deg=AZIMUTHS_DEG
                )
                above_least.append(overlap - overlap.min())
        assert np.max(above_least, axis=0).min() > overlap_limits().open_mm

"""Atlas teeth: imported, rendered by our kernel, and set against outlines of their sizes.

One idealised dentition whose left side mirrors its right: 16 contacts, of which 8 tell something,
and those 8 share two arches. Bounds are what was measured, with a little room; they say that
nothing has slipped, not how often a patient lies within them.
"""

from pathlib import Path

import numpy as np
import pytest

from bitewright.film.path_lengths import path_lengths
from bitewright.quality.criteria import overlap_limits
from bitewright.space import NotARotationError
from builders.anatomy_films import ATLAS
from builders.independent_anatomy_page import PAGE, independent_anatomy_page, written_films
from tests.realdata.rendered import (
    FAR_MM,
    GRID,
    overlap_both_ways_mm,
    rendered_volumes_mm3,
    seen_from_the_right,
)
from trials.compare_anatomy import AnatomyComparison, read_teeth
from trials.scanned_teeth import scanned_teeth

pytestmark = pytest.mark.realdata

BY_SIDE = [(1, 4), (2, 3)]


def test_teeth_are_closed(atlas: AnatomyComparison) -> None:
    assert len(atlas.teeth.meshes) == 28
    assert all(mesh.checked().volume_mm3 > 300.0 for mesh in atlas.teeth.meshes.values())


def test_teeth_stand_in_the_mouth_frame(atlas: AnatomyComparison) -> None:
    meshes = atlas.teeth.meshes
    edges = [meshes[code].vertices_mm[meshes[code].vertices_mm[:, 2].argmin()] for code in (11, 21)]
    assert np.mean(edges, axis=0) == pytest.approx(np.zeros(3), abs=1e-9)
    middles = {code: atlas.teeth.crown_points(code).mean(axis=0) for code in meshes}
    assert middles[26][0] > 15.0 > -15.0 > middles[16][0]
    assert middles[17][1] > middles[13][1] > middles[11][1]
    assert all(meshes[code].vertices_mm[:, 2].max() > 15.0 for code in (11, 16, 26))
    assert all(meshes[code].vertices_mm[:, 2].min() < -15.0 for code in (31, 36, 46))


def test_a_mirrored_frame_is_refused(shared_data: Path) -> None:
    with pytest.raises(NotARotationError):
        scanned_teeth(read_teeth(shared_data / ATLAS), mouth_axes=np.diag([-1.0, 1.0, 1.0]))


@pytest.mark.parametrize("quadrants", BY_SIDE)
def test_our_kernel_renders_each_tooth_with_its_own_volume(
    atlas: AnatomyComparison, quadrants: tuple[int, int]
) -> None:
    """Signs balanced everywhere; nested shells (36, 46) count as often in both."""
    codes = [code for code in atlas.teeth.meshes if code // 10 in quadrants]
    lengths, receptor_from_mouth = seen_from_the_right(atlas.teeth, codes)
    assert (lengths.signs == 0).all()
    for code, rendered in rendered_volumes_mm3(atlas.teeth, codes).items():
        assert rendered == pytest.approx(atlas.teeth.meshes[code].volume_mm3, rel=0.005), code
    canine, molar, lower = (
        receptor_from_mouth.points(atlas.teeth.crown_points(code)).mean(axis=0)
        for code in sorted(codes, key=lambda code: (code % 10 not in (3, 6), code))[:3]
    )
    assert canine[0] > molar[0], "the front of the mouth lies to the viewer's right"
    assert lower[1] > molar[1], "upper teeth lie above"


def test_all_teeth_in_one_image_balance_too(atlas: AnatomyComparison) -> None:
    codes = list(atlas.teeth.meshes)
    _, pose = seen_from_the_right(atlas.teeth, codes[:1])
    meshes = [mesh.moved(pose) for mesh in atlas.teeth.meshes.values()]
    assert path_lengths(meshes, [0] * 28, (0.0, 0.0, -FAR_MM), GRID).unbalanced_pixels == 0


@pytest.mark.parametrize("pair", [(14, 15), (16, 17), (25, 26), (33, 34), (46, 47)])
@pytest.mark.parametrize("off_deg", [-8.0, 0.0, 8.0])
def test_overlap_by_geometry_is_the_rendered_one(
    atlas: AnatomyComparison, pair: tuple[int, int], off_deg: float
) -> None:
    """Measured: within 0.03 mm, the size of the pixels."""
    open_deg = atlas.teeth.open_direction(pair).open_azimuth_deg
    rendered, found = overlap_both_ways_mm(atlas.teeth, pair, open_deg + off_deg)
    assert rendered == pytest.approx(found, abs=0.04)


def test_silhouettes_and_surfaces_tell_the_same_direction(atlas: AnatomyComparison) -> None:
    """Least overlap against where the surfaces meet. Measured: mean 1.1, worst 3.0 degrees."""
    apart = np.array([contact.approach_deg - contact.scan_deg for contact in atlas.contacts])
    assert np.abs(apart).mean() < 1.5
    assert np.abs(apart).max() < 4.0


def test_least_overlap_is_how_far_the_surfaces_reach_into_one_another(
    atlas: AnatomyComparison,
) -> None:
    for contact in atlas.contacts:
        apart_mm = atlas.teeth.approaches[contact.pair].apart_mm
        assert contact.scan.overlap_mm == pytest.approx(-apart_mm, abs=0.06), contact.pair


def test_left_and_right_mirror_one_another(atlas: AnatomyComparison) -> None:
    found = {contact.pair: contact.scan_deg for contact in atlas.contacts}
    for (front, back), degrees in found.items():
        mirrored = {1: 10, 2: -10, 3: 10, 4: -10}[front // 10]
        assert degrees == pytest.approx(found[front + mirrored, back + mirrored], abs=0.15)


def test_outlines_of_the_same_sizes_open_in_the_same_directions(atlas: AnatomyComparison) -> None:
    """Measured: mean 1.0, SD 5.4, worst 9.5, worst about the mean 8.9 degrees."""
    for spread in (atlas.spread(), atlas.facet_spread()):
        assert len(spread.differences_deg) == 16
        assert abs(spread.mean_deg) < 2.0
        assert spread.sd_deg < 6.5
        assert spread.worst_deg < 11.0
        assert spread.worst_about_mean_deg < 10.5


def test_outlines_are_open_where_their_facets_say(atlas: AnatomyComparison) -> None:
    """The same search on the outlines' own flanks: what it adds of its own is under a degree."""
    for contact in atlas.contacts:
        assert contact.outline_deg == pytest.approx(contact.facet_deg, abs=1.0), contact.pair


def test_open_directions_swing_forward_from_the_molars_to_the_canine(
    atlas: AnatomyComparison,
) -> None:
    """16 to 21 degrees on published arch curves; the atlas has that only as a mean of its jaws.

    Measured: 3.5 degrees in the upper jaw, 25.2 in the lower, 14.4 together.
    """
    swings = atlas.swings_deg(lambda contact: contact.scan_deg)
    assert len(swings) == 4
    assert all(1.0 < swing < 28.0 for swing in swings.values())
    assert 10.0 < np.mean(list(swings.values())) < 25.0


def test_outlines_of_its_sizes_swing_as_published_curves_do(atlas: AnatomyComparison) -> None:
    """Measured: 13.2 degrees in the upper jaw, 22.5 in the lower."""
    swings = atlas.swings_deg(lambda contact: contact.outline_deg)
    assert all(10.0 < swing < 25.0 for swing in swings.values())


@pytest.mark.parametrize("quadrants", BY_SIDE)
@pytest.mark.parametrize(("foremost", "measured_mm"), [(3, 0.37), (4, 0.14)])
def test_no_level_beam_opens_all_contacts_of_a_side(
    atlas: AnatomyComparison, quadrants: tuple[int, int], foremost: int, measured_mm: float
) -> None:
    """Common practice, no source. With and without the contact of canine and premolar."""
    pairs = [
        (front, back)
        for front, back in atlas.teeth.posterior_pairs
        if front // 10 in quadrants and front % 10 >= foremost
    ]
    worst = atlas.teeth.above_least_mm(pairs).max(axis=0)
    assert worst.min() > overlap_limits().open_mm
    assert worst.min() == pytest.approx(measured_mm, abs=0.03)


def test_the_page_shows_what_is_found_today(
    atlas: AnatomyComparison, scan: AnatomyComparison
) -> None:
    advice = "run `python -m builders.independent_anatomy_page`"
    page = PAGE.read_text(encoding="utf-8")
    assert page == independent_anatomy_page(atlas, scan, written_films(page)), advice

"""Meshes projected where arithmetic, and the projection of outlines, say."""

from dataclasses import replace

import numpy as np
import pytest

from bitewright.exposing.aim import Aim
from bitewright.exposing.exposure import Exposures, expose
from bitewright.exposing.landmarks import Status
from bitewright.exposing.placement import Placement
from bitewright.exposing.project import project
from bitewright.exposing.targets import targets
from bitewright.mouth.crown_lines import CrownLines
from tests.closed_meshes import box, icosphere
from tests.scenes import ideal_crowns, station_of
from trials.project_meshes import MeshTargets, mesh_overlaps_mm, project_meshes

PAIR = (14, 15)
OFF_DEG = np.array([-12.0, -3.0, 0.0, 5.0])


def two(front: CrownLines, back: CrownLines) -> MeshTargets:
    """A contact of the upper right, and nothing else."""
    return MeshTargets(crowns={14: front, 15: back}, pairs=(PAIR,), cusps_mouth={})


def boxes(overlap_mm: float, width_mm: float = 4.0) -> MeshTargets:
    """Two boxes along u whose faces lie past one another by this much, about u = 0."""
    size = (7.0, 5.0, width_mm)
    return two(
        CrownLines.of_mesh(box((3.5 - 0.5 * overlap_mm, 0.0, 0.0), size)),
        CrownLines.of_mesh(box((-3.5 + 0.5 * overlap_mm, 0.0, 0.0), size)),
    )


def near(source_mm: float) -> Exposures:
    """One square exposure from a point source this far before the contact, the film 12 behind."""
    far, _ = ideal_crowns(facet_mm=1.0, radii_mm=(4.0, 4.0), off_deg=np.zeros(1))
    source = np.array([[0.0, 0.0, -source_mm]])
    return replace(far, beam=replace(far.beam, sources_mouth=source, end_mm=300.0))


def test_boxes_are_marked_at_their_near_edges() -> None:
    """The edge nearest the source is seen largest: at 350 + 12 over 350 - 2."""
    grown = 362.0 / 348.0
    marks = project_meshes(near(350.0), boxes(0.6))
    assert marks.points("14.distal")[0, 0] == pytest.approx(-0.3 * grown, abs=1e-9)
    assert marks.points("15.mesial")[0, 0] == pytest.approx(0.3 * grown, abs=1e-9)
    assert marks.points("14.mesial")[0, 0] == pytest.approx(6.7 * grown, abs=1e-9)
    assert marks.points("15.distal")[0, 0] == pytest.approx(-6.7 * grown, abs=1e-9)
    assert (marks.status == Status.SEEN).all()


def test_their_overlap_is_told_at_the_contact() -> None:
    found = mesh_overlaps_mm(near(350.0), boxes(0.6), (PAIR,))
    assert found == pytest.approx(np.array([[0.6]]), abs=1e-9)


def test_a_space_is_negative() -> None:
    """Edges further from the source come closer: a space of 0.6 is seen at its far edges."""
    marks = project_meshes(near(350.0), boxes(-0.6))
    gap = marks.points("14.distal") - marks.points("15.mesial")
    assert gap[0, 0] == pytest.approx(0.6 * 362.0 / 352.0, abs=1e-9)
    assert mesh_overlaps_mm(near(350.0), boxes(-0.6), (PAIR,))[0, 0] == pytest.approx(-0.6)


def test_flat_faces_overlap_by_their_width_times_the_sine() -> None:
    far, _ = ideal_crowns(facet_mm=1.0, radii_mm=(4.0, 4.0), off_deg=OFF_DEG)
    found = mesh_overlaps_mm(far, boxes(0.0, width_mm=3.0), (PAIR,))[:, 0]
    assert found == pytest.approx(3.0 * np.sin(np.deg2rad(np.abs(OFF_DEG))), abs=1e-5)


def test_spheres_overlap_by_their_radii() -> None:
    """Touching, radius 4: 8 (1 - cos d), but for the faceting."""
    far, _ = ideal_crowns(facet_mm=1.0, radii_mm=(4.0, 4.0), off_deg=OFF_DEG)
    of = two(*(CrownLines.of_mesh(icosphere((x, 0.0, 0.0), 4.0, 4)) for x in (4.0, -4.0)))
    found = mesh_overlaps_mm(far, of, (PAIR,))[:, 0]
    assert found == pytest.approx(8.0 * (1.0 - np.cos(np.deg2rad(OFF_DEG))), abs=0.02)


def test_crowns_that_share_no_row_have_no_contact() -> None:
    of = two(
        CrownLines.of_mesh(box((3.5, -10.0, 0.0), (7.0, 5.0, 4.0))),
        CrownLines.of_mesh(box((-3.5, 10.0, 0.0), (7.0, 5.0, 4.0))),
    )
    assert np.isnan(mesh_overlaps_mm(near(350.0), of, (PAIR,))).all()
    assert project_meshes(near(350.0), of).points("14.distal")[0, 0] == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("view_name", ["right-premolar", "left-molar"])
@pytest.mark.parametrize(("ring_deg", "vertical_deg", "roll_deg"), [(0, 3, 0), (12, 9, 3)])
def test_outlines_taken_as_lines_are_marked_as_outlines_are(
    view_name: str, ring_deg: float, vertical_deg: float, roll_deg: float
) -> None:
    """Both jaws, opened; contacts along the row within a row's slope, cusps exactly."""
    at = station_of(view_name)
    own = targets(at.outlines, at.region)
    exposure = expose(
        at,
        Placement(lingual_mm=6.0, roll_deg=roll_deg),
        Aim(ring_offset_deg=ring_deg, vertical_deg=vertical_deg),
    )
    wanted, _ = project(exposure, own)
    codes = sorted({int(name[:2]) for name in own.names})
    points = dict(zip(own.names[len(own.flanks_mouth) :], own.points_mouth, strict=True))
    of = MeshTargets(
        crowns={
            code: CrownLines.of_flanks(at.outlines.flanks_mouth[at.outlines.row[code]])
            for code in codes
        },
        pairs=tuple(site.pair for site in own.sites),
        cusps_mouth={name: point for name, point in points.items() if name.endswith(".cusp")},
    )
    found = project_meshes(exposure, of)
    for name in found.names:
        off = found.points(name)[0] - wanted.points(name)[0]
        if name.endswith(".cusp"):
            assert off == pytest.approx(np.zeros(2), abs=1e-9), name
        else:
            assert off[0] == pytest.approx(0.0, abs=0.12), name
    assert set(wanted.names) - set(found.names) == {
        name for name in wanted.names if name.endswith((".cej", ".crest"))
    }

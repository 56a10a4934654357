"""Solid teeth of a parametric mouth taken for a scan: the films and swings of its outlines."""

from functools import lru_cache

import numpy as np
import pytest

from bitewright.exposing.landmarks import Status
from bitewright.exposing.project import project
from bitewright.exposing.targets import targets
from bitewright.quality.views import view
from bitewright.solids.tooth_shells import tooth_shells
from bitewright.space import ClosedMesh
from tests.sample_corrections import plan_of
from tests.scenes import outlines_of
from trials.known_films import Equipment
from trials.needed_swing import OpenTogether, azimuth_deg
from trials.project_meshes import mesh_targets, project_meshes
from trials.scanned_films import ScannedView, like_outlines, scanned_film, scanned_view
from trials.scanned_teeth import ScannedTeeth

pytestmark = pytest.mark.slow

VIEW = "right-molar"


@lru_cache(maxsize=1)
def solid_teeth() -> ScannedTeeth:
    """The standard mouth's teeth as closed meshes."""
    outlines = outlines_of()
    shells = tooth_shells(outlines, outlines.codes)
    return ScannedTeeth(meshes={shell.code: shell.outer for shell in shells})


@lru_cache(maxsize=1)
def seen() -> ScannedView:
    return scanned_view(solid_teeth(), view(VIEW), Equipment.usual(), jaws_related=True)


def test_contacts_are_open_together_where_the_outlines_have_them() -> None:
    of_outlines = OpenTogether.of_plan(plan_of(VIEW))
    assert seen().open.azimuth_deg == pytest.approx(of_outlines.azimuth_deg, abs=1.5)
    assert seen().open.least_mm == pytest.approx(of_outlines.least_mm, abs=0.06)


def test_marks_lie_where_the_outlines_have_theirs() -> None:
    """Places along the row of contacts, and cusps, of the same exposure."""
    exposure = plan_of(VIEW).exposure
    found = project_meshes(exposure, mesh_targets(solid_teeth(), view(VIEW).region))
    wanted, _ = project(exposure, targets(outlines_of(), view(VIEW).region))
    for name in found.names:
        off = found.points(name)[0] - wanted.points(name)[0]
        if name.endswith(".cusp"):
            assert np.hypot(*off) < 0.8, name
        elif name not in ("13.mesial", "43.mesial", "17.distal", "47.distal"):
            assert abs(off[0]) < 0.15, name


def test_teeth_are_shifted_and_not_turned() -> None:
    outlines = outlines_of()
    away = np.array([3.0, -2.0, 1.0])
    moved = ScannedTeeth(
        meshes={
            code: ClosedMesh(mesh.vertices_mm + away * (code > 30), mesh.triangles)
            for code, mesh in solid_teeth().meshes.items()
        }
    )
    placed = like_outlines(moved, outlines, jaws_related=False)
    back = like_outlines(solid_teeth(), outlines, jaws_related=False)
    for code, mesh in placed.meshes.items():
        assert mesh.vertices_mm == pytest.approx(back.meshes[code].vertices_mm, abs=1e-9)
    step = back.meshes[46].vertices_mm - solid_teeth().meshes[46].vertices_mm
    assert np.abs(step).max() < 1.0


def test_a_film_is_slipped_from_where_the_contacts_are_open() -> None:
    of = seen()
    film = scanned_film(of, np.random.default_rng(3))
    swing = azimuth_deg(of.plan, film.exposure) - of.open.best_deg
    assert 0.5 < abs(swing) < 20.5
    assert film.landmarks.status_of("16.distal")[0] == Status.SEEN
    assert not [name for name in film.landmarks.names if name.endswith((".cej", ".crest"))]


def test_contacts_marked_as_touching_differ_by_their_least_overlap() -> None:
    of = seen()
    plain, touching = (
        scanned_film(of, np.random.default_rng(3), touching=each).landmarks
        for each in (False, True)
    )
    for (front, back), least in zip(of.pairs, of.open.least_mm, strict=True):
        names = f"{front}.distal", f"{back}.mesial"
        apart = [
            (marks.points(names[1]) - marks.points(names[0]))[0, 0] * marks.front_sign
            for marks in (plain, touching)
        ]
        assert apart[0] - apart[1] == pytest.approx(1.04 * least, abs=0.06)

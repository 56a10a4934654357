"""Solid teeth of a parametric mouth taken for a scan: the films and swings of its outlines."""

from dataclasses import replace
from functools import lru_cache

import numpy as np
import pytest

from bitewright.exposing.aim import Aim
from bitewright.exposing.landmarks import Status
from bitewright.exposing.project import project
from bitewright.exposing.targets import targets
from bitewright.quality.criteria import Question
from bitewright.quality.measure import NOT_SEEN
from bitewright.quality.predicted import asked, rated
from bitewright.quality.questions import needs
from bitewright.quality.views import view
from bitewright.quality.wanted import edges
from bitewright.space import ClosedMesh
from tests.sample_corrections import plan_of
from tests.scenes import outlines_of, usual_teeth
from trials.known_films import Equipment, SetUp
from trials.needed_swing import OpenTogether, azimuth_deg
from trials.next_films import readable_share
from trials.project_meshes import mesh_overlaps_mm, mesh_targets, project_meshes
from trials.scanned_films import ScannedView, like_outlines, scanned_film, scanned_view
from trials.scanned_teeth import ScannedTeeth

pytestmark = pytest.mark.slow

VIEW = "right-molar"


@lru_cache(maxsize=1)
def solid_teeth() -> ScannedTeeth:
    """The standard mouth's teeth as closed meshes."""
    shells = usual_teeth(outlines_of().codes)
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


def test_what_can_be_read_of_the_next_film_is_by_the_crowns_own_overlaps() -> None:
    """Every tooth turned, so that the crowns are open elsewhere than outlines of their sizes."""
    turned = ScannedTeeth(
        meshes={code: _turned(mesh, 12.0) for code, mesh in solid_teeth().meshes.items()}
    )
    of = scanned_view(turned, view(VIEW), Equipment.usual(), jaws_related=True)
    setting, asked_of = of.best.setting, asked(of.plan.view, of.plan.station)
    off = replace(setting.aim(), ring_offset_deg=setting.ring_offset_deg + 11.0)
    set_up = SetUp(placement=setting.placement(), aim=off)
    slips = np.zeros((9, 4))
    slips[:, 0] = np.linspace(-8.0, 8.0, 9)
    slips[:, 1] = [3.0, -3.0, 0.0] * 3
    exposures = SetUp(
        placement=set_up.placement,
        aim=Aim(
            ring_offset_deg=off.ring_offset_deg + slips[:, 0],
            vertical_deg=off.vertical_deg + slips[:, 1],
        ),
    ).exposed(of.plan.station)
    seen_then = rated(*project(exposures, asked_of.targets), asked_of)
    overlap = mesh_overlaps_mm(exposures, of.targets, of.pairs) - np.maximum(of.open.least_mm, 0.0)
    column = [asked_of.wanted.contacts.index(pair) for pair in of.pairs]
    allowed = needs(Question.ENAMEL, asked_of.wanted).unreadable_share
    own = overlap <= allowed * seen_then.scale.enamel_mm[column]
    gone = seen_then.measurements.gone
    for k, pair in enumerate(of.pairs):
        for name in edges(pair):
            own[:, k] &= ~np.isin(gone[name], NOT_SEEN)
    found = readable_share(of.plan.station, of.plan.view, set_up, slips, crowns=of)
    outlined = readable_share(of.plan.station, of.plan.view, set_up, slips)
    assert found.of_view == pytest.approx(own.mean(), abs=0.03)
    assert abs(outlined.of_view - own.mean()) > 0.1


def _turned(mesh: ClosedMesh, deg: float) -> ClosedMesh:
    """A tooth turned about its own middle."""
    middle = mesh.vertices_mm.mean(axis=0)
    cos, sin = np.cos(np.deg2rad(deg)), np.sin(np.deg2rad(deg))
    about = np.array([[cos, -sin, 0.0], [sin, cos, 0.0], [0.0, 0.0, 1.0]])
    return ClosedMesh((mesh.vertices_mm - middle) @ about.T + middle, mesh.triangles)


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

"""Films of real crowns: their edges where the meshes' silhouettes lie, the same made again."""

from pathlib import Path

import numpy as np
import pytest

from bitewright.exposing.exposure import station
from bitewright.exposing.landmarks import Landmarks
from bitewright.mouth.numbering import Side
from bitewright.mouth.outlines import build_outlines
from bitewright.planning.best_aim import best_aim
from bitewright.quality.predicted import asked
from bitewright.quality.views import view
from builders.real_crowns import population_crowned
from builders.training_films import Wish, films_of
from trials.compare_anatomy import AnatomyComparison
from trials.crowned_mouths import crowned_mouth
from trials.known_films import Equipment
from trials.mouth_like import mouth_like
from trials.project_meshes import mesh_targets, project_meshes
from trials.scanned_films import like_outlines

pytestmark = pytest.mark.realdata


def edges(found: Landmarks) -> dict[str, float]:
    return {
        name: float(found.points_receptor[0, column, 0])
        for name, column in found.column.items()
        if name.endswith((".mesial", ".distal"))
    }


def test_a_scanned_persons_edges_lie_where_the_meshes_silhouettes_do(
    scan: AnatomyComparison,
) -> None:
    teeth = scan.teeth
    outlines = build_outlines(mouth_like(teeth, name="scanned", turned=True))
    teeth = like_outlines(teeth, outlines, jaws_related=False)
    filmed = crowned_mouth(outlines, teeth, Side.RIGHT, have_roots=False)
    of_view, usual = view("right-molar"), Equipment.usual()
    at = station(filmed.outlines, of_view.region, usual.receptor, usual.holder, usual.tube)
    exposure = best_aim(of_view, at).exposure
    found = edges(filmed.landmarks(exposure, asked(of_view, at, every_contact=True), None))
    meshes = edges(project_meshes(exposure, mesh_targets(teeth, of_view.region)))
    contacts = ["15.distal", "16.mesial", "16.distal", "17.mesial"]
    contacts += ["45.distal", "46.mesial", "46.distal", "47.mesial"]
    off = np.array([found[name] - meshes[name] for name in contacts])
    assert np.abs(off).max() < 0.06
    assert np.abs(np.mean(off)) < 0.02


@pytest.mark.usefixtures("shared_data")
def test_a_film_of_a_populations_crowns_is_made_again_alike() -> None:
    seed = 920
    wish = Wish(seed=seed, films=1, out=Path())
    once, again = (next(films_of(wish, population_crowned(seed))) for _ in range(2))
    assert (once["grey"] == again["grey"]).all()
    assert (once["u_px"] == again["u_px"]).all()
    own = next(films_of(wish))
    assert once["grey"].shape == own["grey"].shape
    assert (once["grey"] != own["grey"]).mean() > 0.3, "other crowns"
    assert once["seen"].sum() > 25

"""Films of real crowns of a population that stand where a drawn mouth's teeth do."""

import os
from functools import cache
from pathlib import Path

from bitewright.exposing.exposure import station
from bitewright.mouth.mouth import Mouth
from bitewright.mouth.outlines import build_outlines
from bitewright.planning.best_aim import best_aim
from bitewright.quality.views import View
from trials.crown_population import FOLDER, CrownPopulation, read_population
from trials.known_films import Equipment
from trials.population_crowns import drawn_crowns, mouth_with_forms, stood_crowns
from trials.project_meshes import mesh_targets
from trials.scanned_films import ScannedView, meshes_in_view

TOP = Path(__file__).resolve().parents[1]
PLACES = range(3, 8)


@cache
def shared_population() -> CrownPopulation:
    """The population's crowns, from the shared data beside the project or where a variable says."""
    return read_population(
        Path(os.environ.get("BITEWRIGHT_SHARED") or TOP.parent / "shared") / FOLDER
    )


def crowned_view(
    population: CrownPopulation, mouth: Mouth, view: View, equipment: Equipment, *, seed: int
) -> ScannedView:
    """A view of a mouth whose teeth from the canine back carry crowns drawn by a seed.

    The receptor is seated and planned in outlines of the mouth with the crowns' forms.
    """
    codes = tuple(10 * quadrant + place for quadrant in view.region.quadrants for place in PLACES)
    crowns = drawn_crowns(population, codes, seed)
    outlines = build_outlines(mouth_with_forms(population, mouth, crowns))
    at = station(outlines, view.region, equipment.receptor, equipment.holder, equipment.tube)
    teeth = stood_crowns(population, outlines, crowns, seed)
    return meshes_in_view(best_aim(view, at), mesh_targets(teeth, view.region))


__all__ = ["crowned_view", "shared_population"]

"""Heights, gaps and slopes of a right premolar bitewing, from its landmarks alone.

Nothing here knows a mouth: a film that was marked and one that is projected give the same figures.
"""

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.exposing.aim import Aim
from bitewright.exposing.exposure import expose, station
from bitewright.exposing.placement import Placement
from bitewright.exposing.project import project
from bitewright.exposing.seating import nearest_fit_mm
from bitewright.exposing.targets import targets
from bitewright.mouth.mouth import Mouth
from bitewright.mouth.outlines import build_outlines
from bitewright.quality.views import view

Floats = NDArray[np.float64]

BACKWARD_MM = 4.0
"""Set so far back, a plate shows from canine to second molar, as the real film does."""

GAPS = {
    "14 to 44": ("14.buccal.cusp", "44.buccal.cusp"),
    "15 to 45": ("15.buccal.cusp", "45.buccal.cusp"),
    "17 to 47": ("17.mesiobuccal.cusp", "47.mesiolingual.cusp"),
}
HEIGHTS = {
    "16 junction to cusp": ("16.mesial.cej", "16.mesiobuccal.cusp"),
    "17 junction to cusp": ("17.distal.cej", "17.distobuccal.cusp"),
    "14 crest to cusp": ("14.distal.crest", "14.buccal.cusp"),
    "15 crest to cusp": ("15.distal.crest", "15.buccal.cusp"),
    "44 cusp to crest": ("44.buccal.cusp", "44.distal.crest"),
    "45 cusp to crest": ("45.buccal.cusp", "45.distal.crest"),
    "crest to crest behind 14 and 44": ("14.distal.crest", "44.distal.crest"),
    "crest to crest behind 15 and 45": ("15.distal.crest", "45.distal.crest"),
    "crest to crest before 16 and 46": ("16.mesial.crest", "46.mesial.crest"),
    "crest to crest before 17 and 47": ("17.mesial.crest", "47.mesial.crest"),
}
UPPER_CUSPS = (
    "17.mesiobuccal.cusp",
    "16.mesiobuccal.cusp",
    "16.distobuccal.cusp",
    "15.buccal.cusp",
    "14.buccal.cusp",
)
LOWER_CUSPS = (
    "47.mesiolingual.cusp",
    "46.mesiolingual.cusp",
    "46.distolingual.cusp",
    "45.buccal.cusp",
    "44.buccal.cusp",
)


def film_figures(places_mm: Mapping[str, Sequence[float]]) -> dict[str, float]:
    """Each figure of a film by its name: millimetres on the receptor, slopes in degrees.

    Parameters
    ----------
    places_mm : mapping of landmark to (right, down)
        The front of the mouth to the right. [mm]
    """
    figures = {
        name: places_mm[below][1] - places_mm[above][1]
        for name, (above, below) in {**GAPS, **HEIGHTS}.items()
    }
    upper, lower = (_slope_deg(places_mm, names) for names in (UPPER_CUSPS, LOWER_CUSPS))
    return figures | {
        "upper cusps, front lower": upper,
        "lower cusps, front lower": lower,
        "rows open to the back": upper - lower,
    }


def marked_film_figures(marks: Path) -> dict[str, float]:
    """The same of a film by its marks file."""
    content = json.loads(marks.read_text(encoding="utf-8"))
    pixel_mm = content["pixel_mm"]
    return film_figures(
        {
            name: (mark["x_px"] * pixel_mm, mark["y_px"] * pixel_mm)
            for name, mark in content["marks"].items()
            if "x_px" in mark
        }
    )


def drawn_film_figures(mouth: Mouth) -> dict[str, float]:
    """The same of a modelled mouth on a plate in a ring holder, the beam square on it."""
    known = packaged_catalogue()
    outlines, region = build_outlines(mouth), view("right-premolar").region
    at = station(
        outlines,
        region,
        known.receptor("plate-2"),
        known.holder("ring-holder"),
        known.tube("rectangular-300"),
    )
    there = Placement(forward_mm=-BACKWARD_MM)
    there = replace(there, lingual_mm=nearest_fit_mm(at.seating, there))
    seen, _ = project(expose(at, there, Aim()), targets(outlines, region))
    return film_figures(dict(zip(seen.names, seen.points_receptor[0], strict=True)))


def figures_of_many(mouths: Iterable[Mouth]) -> dict[str, Floats]:
    """Each figure of several modelled mouths, (N,)."""
    films = [drawn_film_figures(mouth) for mouth in mouths]
    return {name: np.array([film[name] for film in films]) for name in films[0]}


def _slope_deg(places_mm: Mapping[str, Sequence[float]], names: Iterable[str]) -> float:
    right, down = np.array([places_mm[name] for name in names]).T
    return float(np.rad2deg(np.arctan(np.polyfit(right, down, 1)[0])))


__all__ = ["drawn_film_figures", "figures_of_many", "film_figures", "marked_film_figures"]

"""Overlap of ideal crowns, through projection and measurement, against the derived formula."""

import numpy as np

from bitewright.exposing.project import project
from tests.published.against import check, read_source
from tests.scenes import ideal_crowns

SOURCE = read_source("derived_overlap")
CASES = {
    "w 3, r 4 and 4": (3.0, (4.0, 4.0)),
    "w 2, r 4 and 4": (2.0, (4.0, 4.0)),
    "w 3, r 3.5 and 5": (3.0, (3.5, 5.0)),
    "w 0, r 4 and 4": (0.0, (4.0, 4.0)),
}


def computed() -> dict[str, float]:
    """Names read "w 3, r 4 and 4, off 5 deg"."""
    found = {}
    for value in SOURCE.values:
        crowns, _, off = value.name.rpartition(", off ")
        facet, radii = CASES[crowns]
        found[value.name] = overlap_mm(facet, radii, float(off.split()[0]))
    return found


def overlap_mm(facet_mm: float, radii_mm: tuple[float, float], off_deg: float) -> float:
    """Overlap in millimetres at the contact, as every view is measured."""
    exposures, targets = ideal_crowns(
        facet_mm=facet_mm, radii_mm=radii_mm, off_deg=np.array([off_deg])
    )
    landmarks, scale = project(exposures, targets)
    along = landmarks.points_receptor[0, 1, 0] - landmarks.points_receptor[0, 0, 0]
    return float(along * scale.object_per_receptor[0, 0])


def test_agrees_with_the_source() -> None:
    check(SOURCE, computed())


def test_overlap_is_even_in_the_angle() -> None:
    assert abs(overlap_mm(3.0, (4.0, 4.0), 7.0) - overlap_mm(3.0, (4.0, 4.0), -7.0)) < 1e-6

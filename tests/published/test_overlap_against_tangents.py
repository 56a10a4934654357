"""Overlap of ideal crowns, projected and measured, against the angle between two tangents."""

import re

import numpy as np

from bitewright.exposing.project import project
from tests.published.against import check, read_source
from tests.scenes import ideal_crowns

SOURCE = read_source("overlap_between_tangents")
NAME = re.compile(
    r"w (?P<w>[\d.]+), r (?P<r1>[\d.]+) and (?P<r2>[\d.]+), off (?P<off>[\d.]+) deg, "
    r"(?P<source>[\d.]+) and (?P<contact>[\d.]+) mm"
)


def computed() -> dict[str, float]:
    """Names read "w 3, r 4 and 4, off 5 deg, 400 and 12 mm"."""
    return {value.name: overlap_mm(**given(value.name)) for value in SOURCE.values}


def given(name: str) -> dict[str, float]:
    read = NAME.fullmatch(name)
    assert read is not None, name
    return {key: float(figure) for key, figure in read.groupdict().items()}


def overlap_mm(
    *, w: float, r1: float, r2: float, off: float, source: float, contact: float
) -> float:
    """Overlap in millimetres at the contact, as every view is measured."""
    exposures, targets = ideal_crowns(
        facet_mm=w,
        radii_mm=(r1, r2),
        off_deg=np.array([off]),
        object_mm=contact,
        source_mm=source - contact,
    )
    landmarks, scale = project(exposures, targets)
    along = landmarks.points_receptor[0, 1, 0] - landmarks.points_receptor[0, 0, 0]
    return float(along * scale.object_per_receptor[0, 0])


def test_agrees_with_the_source() -> None:
    check(SOURCE, computed())


def test_overlap_is_even_in_the_angle() -> None:
    scene = given("w 3, r 4 and 4, off 7 deg, 400 and 12 mm")
    assert abs(overlap_mm(**scene) - overlap_mm(**scene | {"off": -7.0})) < 1e-6

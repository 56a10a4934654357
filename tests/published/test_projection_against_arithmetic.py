"""The projection kernel against similar triangles."""

from dataclasses import replace

import numpy as np

from bitewright.exposing.project import project
from bitewright.physics.penumbra import geometric_unsharpness_mm
from tests.published.against import check, read_source
from tests.scenes import ideal_crowns

SOURCE = read_source("projection_arithmetic")


def computed() -> dict[str, float]:
    blur = "unsharpness, focal spot 0.7 mm, crown 10 mm before the receptor, source at"
    before = "magnification of a crown 10 mm before the receptor, source at"
    return {
        f"{before} 400 mm": magnification(400.0),
        f"{before} 200 mm": magnification(200.0),
        **{
            f"{blur} {far:g} mm": (
                geometric_unsharpness_mm(
                    focal_spot_mm=0.7, source_receptor_mm=far, object_receptor_mm=10.0
                )
            )
            for far in (400.0, 200.0)
        },
        "image shift between points 15 and 10 mm before the receptor, beam turned 15 deg": shift(),
    }


def magnification(source_receptor_mm: float) -> float:
    """Local magnification at a point contact on the central ray."""
    exposures, targets = ideal_crowns(
        facet_mm=0.0, radii_mm=(4.0, 4.0), off_deg=np.array([0.0]), object_mm=10.0
    )
    source = np.array([[0.0, 0.0, 10.0 - source_receptor_mm]])
    near = replace(exposures, beam=replace(exposures.beam, sources_mouth=source))
    _, scale = project(near, targets)
    return float(scale.magnification[0, 0])


def shift() -> float:
    """Image distance of two points on one line square to the receptor, under a turned beam."""
    exposures, targets = ideal_crowns(
        facet_mm=0.0, radii_mm=(4.0, 4.0), off_deg=np.array([15.0]), object_mm=15.0
    )
    two = replace(
        targets,
        points_mouth=np.array([[0.0, 0.0, 0.0], [0.0, 0.0, 5.0]]),
        point_is_lower=np.zeros(2, dtype=bool),
        names=(*targets.names, "14.buccal.cusp", "14.lingual.cusp"),
    )
    landmarks, _ = project(exposures, two)
    points = landmarks.points_receptor[0, 2:]
    return float(np.hypot(*(points[1] - points[0])))


def test_agrees_with_the_source() -> None:
    check(SOURCE, computed())

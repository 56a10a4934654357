"""Which further marks would settle an estimate's tube direction best."""

from collections.abc import Collection

import numpy as np
from numpy.typing import NDArray

from bitewright.estimation.allowances import allowed_mm
from bitewright.estimation.estimate import MOUTH_STEP_SD, Estimate
from bitewright.estimation.exposure_unknowns import (
    NAMES,
    STEP,
    exposures_at,
)
from bitewright.exposing.landmarks import Status
from bitewright.exposing.project import project_shapes
from bitewright.marking.marked_landmarks import MARK_SD_MM

Floats = NDArray[np.float64]

AZIMUTH = NAMES.index("azimuth_deg")
MOST = 3


def settling_marks(found: Estimate, film: int = 0, *, among: Collection[str]) -> tuple[str, ...]:
    """Up to three marks not yet set, and on the image, that would narrow the tube's direction most.

    Of the landmarks ``among`` which a person is asked for marks.

    Each is reckoned as if it were marked alone besides what is, to first order.
    Our model: what a mark's linear update takes off the variance of the tube's direction.
    """
    evidence = found.films[film]
    base, slopes, names = _slopes(found, film)
    marked = {
        name
        for name, status in zip(evidence.landmarks.names, evidence.landmarks.status[0], strict=True)
        if status == Status.SEEN
    }
    inside = np.all(np.abs(base) < evidence.landmarks.half_size_mm - 0.5, axis=1)
    target = len(NAMES) * film + AZIMUTH
    told = {}
    for row, name in enumerate(names):
        if name in marked or name not in among or not inside[row]:
            continue
        block = slopes[row]
        noise = np.diag(np.array(allowed_mm(name)) ** 2 + MARK_SD_MM**2)
        spread = block @ found.covariance @ block.T + noise
        cross = block @ found.covariance[:, target]
        told[name] = float(cross @ np.linalg.solve(spread, cross))
    best = sorted(told, key=lambda name: -told[name])[:MOST]
    least = 0.02 * found.covariance[target, target]
    return tuple(name for name in best if told[name] > least)


def _slopes(found: Estimate, film: int) -> tuple[Floats, Floats, tuple[str, ...]]:
    """Places (L, 2) of every landmark and their slopes (L, 2, state). [mm]"""
    station, own = found.films[film].station, found.unknowns[film]
    wanted, each = found.shapes.targets, len(NAMES)
    size = len(found.amounts)
    shapes = found.shapes.of(
        found.amounts + np.vstack([np.zeros(size), MOUTH_STEP_SD * np.eye(size)])
    )
    many = exposures_at(station, own[None]).repeated(size + 1)
    by_mouth, _ = project_shapes(many, wanted, shapes, mouth_of=np.arange(size + 1))
    steps = np.vstack([np.diag(STEP), -np.diag(STEP)])
    by_exposure, _ = project_shapes(exposures_at(station, own + steps), wanted, shapes)
    base = by_mouth.points_receptor[0]
    slopes = np.zeros((*base.shape, len(found.covariance)))
    moved = by_exposure.points_receptor
    slopes[..., each * film : each * (film + 1)] = np.moveaxis(
        moved[:each] - moved[each:], 0, 2
    ) / (2.0 * STEP)
    slopes[..., each * len(found.films) :] = (
        np.moveaxis(by_mouth.points_receptor[1:] - base, 0, 2) / MOUTH_STEP_SD
    )
    return base, slopes, wanted.names


__all__ = ["settling_marks"]

"""From exposures to rated measurements: the chain of a prediction."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bitewright.exposing.beam_cover import beam_cover_mm, cut_landmarks
from bitewright.exposing.clear_edge import ClearEdge
from bitewright.exposing.exposure import Exposures, Station
from bitewright.exposing.landmarks import Landmarks
from bitewright.exposing.project import project
from bitewright.exposing.scale import Scale
from bitewright.exposing.targets import Targets, targets
from bitewright.quality.closed_spaces import closed_spaces
from bitewright.quality.criteria import Question
from bitewright.quality.measure import Measurements, measure
from bitewright.quality.questions import AnyQuestion
from bitewright.quality.rating import Rating, rate
from bitewright.quality.views import View
from bitewright.quality.wanted import Wanted, wanted
from bitewright.row_bands import ALONE, Threads

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Prediction:
    """Landmarks, measurements and rating of E exposures."""

    landmarks: Landmarks
    scale: Scale
    measurements: Measurements
    rating: Rating


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Asked:
    """A view asked of a station's mouth: made once, used for many exposures."""

    wanted: Wanted
    targets: Targets
    block_mm: float


def asked(view: View, station: Station, *, every_contact: bool = False) -> Asked:
    """Ask a view of the mouth at a station.

    ``every_contact`` also projects the side's contacts that the view does not ask for; they are
    measured nowhere but can be shown.
    """
    outlines = station.outlines
    want = wanted(view, outlines.codes, closed_spaces(outlines.mouth))
    aimed_at = targets(outlines, station.region)
    if not every_contact:
        aimed_at = aimed_at.only(
            want.contacts, want.front_surfaces + want.last_surfaces + want.gap_surfaces
        )
    return Asked(wanted=want, targets=aimed_at, block_mm=station.holder.bite_block_thickness_mm)


def predict(
    exposures: Exposures,
    of: Asked,
    *,
    question: AnyQuestion = Question.ENAMEL,
    threads: Threads = ALONE,
    cut: ClearEdge | None = None,
) -> Prediction:
    """Project, measure and rate E exposures, the beam's cover too.

    ``cut`` is a further edge of the exposed part, of a film spoilt to order.
    """
    landmarks, scale = project(exposures, of.targets, threads=threads)
    if cut is not None:
        landmarks = cut_landmarks(landmarks, cut)
    cover = beam_cover_mm(exposures, cut=cut)
    return rated(landmarks, scale, of, question=question, beam_margin_mm=cover)


def rated(
    landmarks: Landmarks,
    scale: Scale,
    of: Asked,
    *,
    question: AnyQuestion = Question.ENAMEL,
    beam_margin_mm: Floats | None = None,
) -> Prediction:
    """Measure and rate what was projected of E exposures.

    Without ``beam_margin_mm`` (E, 8), as in `Measurements`, the beam's cover is not judged. [mm]
    """
    columns = [[site.pair for site in of.targets.sites].index(pair) for pair in of.wanted.contacts]
    own = Scale(
        magnification=np.ascontiguousarray(scale.magnification[:, columns]),
        cos_obliquity=np.ascontiguousarray(scale.cos_obliquity[:, columns]),
        enamel_mm=scale.enamel_mm[columns],
    )
    measured = measure(
        landmarks, own, of.wanted, block_mm=of.block_mm, beam_margin_mm=beam_margin_mm
    )
    return Prediction(
        landmarks=landmarks,
        scale=own,
        measurements=measured,
        rating=rate(measured, question=question),
    )


__all__ = ["Asked", "Prediction", "asked", "predict", "rated"]

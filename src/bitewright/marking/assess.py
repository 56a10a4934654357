"""Assess one marked film: measurements with uncertainty, and a rating."""

from dataclasses import dataclass

import numpy as np

from bitewright.equipment.receptors import Receptor
from bitewright.exposing.beam_cover import cut_landmarks
from bitewright.exposing.landmarks import Landmarks
from bitewright.marking.closed_on_film import closed_on_film
from bitewright.marking.cone_cut import SeenConeCut, cone_cut, cover_seen_mm
from bitewright.marking.marked_landmarks import (
    landmarks_from_marks,
    teeth_on_film,
    usual_scale,
)
from bitewright.marking.marks import MarkedFilm
from bitewright.mouth.tooth_forms import tooth_form
from bitewright.quality.criteria import Question
from bitewright.quality.findings import (
    ContactFinding,
    Finding,
    contact_findings,
    findings,
)
from bitewright.quality.measure import Measurements, measure
from bitewright.quality.questions import AnyQuestion
from bitewright.quality.rating import Rating, rate
from bitewright.quality.views import View
from bitewright.quality.wanted import Wanted, wanted


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Assessment:
    """What one marked film shows against its view's criteria; ``cone_cut`` is one seen on it."""

    view: View
    wanted: Wanted
    landmarks: Landmarks
    measurements: Measurements
    rating: Rating
    findings: tuple[Finding, ...]
    contacts: tuple[ContactFinding, ...]
    cone_cut: SeenConeCut | None = None


def assess(
    film: MarkedFilm,
    view: View,
    *,
    pixel_mm: float,
    receptor: Receptor | None = None,
    block_mm: float = float("nan"),
    question: AnyQuestion = Question.ENAMEL,
) -> Assessment:
    """Measure and rate a marked film.

    Raises
    ------
    NothingMarkedError, ToothNotInViewError, WrongWayRoundError, UpsideDownError, MarkedFilmError

    Parameters
    ----------
    film : MarkedFilm
    view : View
    pixel_mm : float
        Pixel size at the receptor. [mm]
    receptor : Receptor, optional
    block_mm : float
        Bite block's thickness, for closure; NaN where unknown. [mm]
    question : AnyQuestion
    """
    landmarks = landmarks_from_marks(film, view, pixel_mm=pixel_mm, receptor=receptor)
    cut = cone_cut(film, pixel_mm=pixel_mm)
    cover = None
    if cut is not None:
        cover = cover_seen_mm(cut, landmarks, receptor.corner_radius_mm if receptor else 0.0)
        landmarks = landmarks if cut.edge is None else cut_landmarks(landmarks, cut.edge)
    closed = closed_on_film(film, view, pixel_mm=pixel_mm)
    want = wanted(view, teeth_on_film(film, view), closed)
    enamel = np.array(
        [min(tooth_form(code).enamel_contact_mm for code in pair) for pair in want.contacts]
    )
    measured = measure(
        landmarks, usual_scale(want, enamel), want, block_mm=block_mm, beam_margin_mm=cover
    )
    rating = rate(measured, question=question)
    contacts = contact_findings(measured, rating)
    return Assessment(
        view=view,
        wanted=want,
        landmarks=landmarks,
        measurements=measured,
        rating=rating,
        findings=findings(measured, rating, question=question),
        contacts=contacts,
        cone_cut=cut,
    )


__all__ = ["Assessment", "assess"]

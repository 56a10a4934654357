"""Assess one marked film: measurements with uncertainty, rating, and how sure each state is."""

from dataclasses import dataclass
from math import erf, sqrt

import numpy as np

from bitewright.equipment.receptors import Receptor
from bitewright.exposing.beam_cover import cut_landmarks
from bitewright.exposing.landmarks import Landmarks
from bitewright.marking.cone_cut import SeenConeCut, cone_cut, cover_seen_mm
from bitewright.marking.marked_landmarks import (
    landmarks_from_marks,
    teeth_on_film,
    usual_scale,
)
from bitewright.marking.marks import MarkedFilm
from bitewright.mouth.tooth_forms import tooth_form
from bitewright.quality.criteria import OverlapLimits, Question, overlap_limits
from bitewright.quality.findings import (
    ContactFinding,
    Finding,
    contact_findings,
    findings,
)
from bitewright.quality.measure import Measurements, measure
from bitewright.quality.rating import Rating, rate
from bitewright.quality.views import View
from bitewright.quality.wanted import Wanted, wanted


@dataclass(frozen=True, slots=True, kw_only=True)
class StateChance:
    """Probability that a contact is open, slight or unreadable, given the marks' uncertainty.

    From the marks alone: that crowns cannot lie deeper apart than their contact allows is not
    used, so a contact near the limit is called open too seldom rather than too often.
    """

    open: float
    slight: float
    unreadable: float


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
    chances: tuple[StateChance | None, ...]
    cone_cut: SeenConeCut | None = None


def assess(
    film: MarkedFilm,
    view: View,
    *,
    pixel_mm: float,
    receptor: Receptor | None = None,
    block_mm: float = float("nan"),
    question: Question = Question.ENAMEL,
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
    question : Question
    """
    landmarks = landmarks_from_marks(film, view, pixel_mm=pixel_mm, receptor=receptor)
    cut = cone_cut(film, pixel_mm=pixel_mm)
    cover = None
    if cut is not None:
        cover = cover_seen_mm(cut, landmarks, receptor.corner_radius_mm if receptor else 0.0)
        landmarks = landmarks if cut.edge is None else cut_landmarks(landmarks, cut.edge)
    want = wanted(view, teeth_on_film(film, view))
    enamel = np.array(
        [min(tooth_form(code).enamel_contact_mm for code in pair) for pair in want.contacts]
    )
    measured = measure(
        landmarks, usual_scale(want, enamel), want, block_mm=block_mm, beam_margin_mm=cover
    )
    rating = rate(measured, question=question)
    contacts = contact_findings(measured, rating)
    limits = overlap_limits()
    return Assessment(
        view=view,
        wanted=want,
        landmarks=landmarks,
        measurements=measured,
        rating=rating,
        findings=findings(measured, rating, question=question),
        contacts=contacts,
        chances=tuple(
            _chance(contact, thickness, limits, question)
            for contact, thickness in zip(contacts, enamel, strict=True)
        ),
        cone_cut=cut,
    )


def _chance(
    contact: ContactFinding, enamel_mm: float, limits: OverlapLimits, question: Question
) -> StateChance | None:
    """Normal probabilities of the three states; None where the overlap is not known."""
    if contact.overlap_mm is None or not contact.overlap_sd_mm:
        return None
    unreadable_mm = limits.unreadable_share(question) * enamel_mm
    below_open, below_unreadable = (
        _normal((limit - contact.overlap_mm) / contact.overlap_sd_mm)
        for limit in (limits.open_mm, unreadable_mm)
    )
    return StateChance(
        open=below_open,
        slight=max(below_unreadable - below_open, 0.0),
        unreadable=1.0 - below_unreadable,
    )


def _normal(z: float) -> float:
    return 0.5 * (1.0 + erf(z / sqrt(2.0)))


__all__ = ["Assessment", "StateChance", "assess"]

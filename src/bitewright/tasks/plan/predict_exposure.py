"""Predict one exposure: what it opens, covers and cuts."""

from dataclasses import dataclass, replace
from math import isfinite
from pathlib import Path
from typing import Any

from bitewright import __version__
from bitewright.exposing.aim import Aim
from bitewright.exposing.beam_cover import BEAM_PLACES, BeamPlace
from bitewright.exposing.clear_edge import ClearEdge
from bitewright.exposing.contact_error import contact_error_deg, contact_errors_deg
from bitewright.exposing.exposure import Exposures, Station, fitting
from bitewright.exposing.landmarks import Landmarks, Status
from bitewright.exposing.placement import Placement
from bitewright.exposing.receptor_edges import EdgePlace, edge_places
from bitewright.planning.open_fans import OpenFan, open_fans
from bitewright.quality.findings import (
    ContactFinding,
    Finding,
    contact_findings,
    findings,
    pair_name,
)
from bitewright.quality.predicted import Asked, Prediction, asked, predict
from bitewright.quality.questions import AnyQuestion, needs
from bitewright.quality.rating_schemes import RatingScheme
from bitewright.quality.views import View
from bitewright.quality.wanted import edges
from bitewright.tasks.documents import (
    contact_document,
    edges_document,
    equipment_document,
    finding_document,
    known_deg,
    rating_document,
)
from bitewright.tasks.plan.planned_place import planned_place_words
from bitewright.tasks.plan.predicted_fitness import predicted_fitness
from bitewright.tasks.plan.set_exposure import SetExposure, set_exposure
from bitewright.tasks.plan.wanted_setting import WantedSetting, own_contacts, settled
from bitewright.tasks.rated_by import RatedBy
from bitewright.words.predictions import fan_words
from bitewright.words.verdicts import STATUS_WORDS

PREDICTION_FORMAT = "bitewright.prediction/1"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ExposurePrediction:
    """What one exposure is predicted to show."""

    view: View
    station: Station
    placement: Placement
    aim: Aim
    exposure: Exposures
    prediction: Prediction
    findings: tuple[Finding, ...]
    contacts: tuple[ContactFinding, ...]
    contact_errors_deg: dict[str, float]
    contact_error_deg: float
    outside_fan_deg: dict[str, float | None]
    question: AnyQuestion
    scheme: RatingScheme
    grade: str
    planned_place: str = ""

    @property
    def beam_cover_mm(self) -> dict[BeamPlace, float]:
        """Beam beyond each edge and corner of the receptor; negative is cut off. [mm]"""
        margins = self.prediction.measurements.beam_margin_mm[0]
        return {place: float(margin) for place, margin in zip(BEAM_PLACES, margins, strict=True)}

    @property
    def closure_mm(self) -> float:
        """How far the teeth stand off the bite block, as the film shows it and its criterion says.

        Where the film tells nothing, as the receptor keeps them apart. [mm]
        """
        shown = float(self.prediction.measurements.closure_mm[0])
        return shown if isfinite(shown) else float(self.exposure.seat.closure_mm[0])

    @property
    def edges(self) -> tuple[EdgePlace, ...]:
        """Where the receptor's edges lie against the teeth."""
        return edge_places(self.exposure)

    @property
    def fitness(self) -> str:
        """Whether it answers the question, what it does not show of the ideal, and why."""
        said = predicted_fitness(self.prediction, self.question, self.findings)
        return f"{said} {self.planned_place}".strip()

    @property
    def not_needed(self) -> frozenset[str]:
        """Contacts that the view wants and the question can do without."""
        of = self.prediction.measurements.wanted
        needed = needs(self.question, of).surfaces
        return frozenset(
            f"{pair[0]}-{pair[1]}" for pair in of.contacts if needed.isdisjoint(edges(pair))
        )

    @property
    def beam_words(self) -> dict[str, str]:
        """How the ray through each contact of the view lies to its fan, in words."""
        return {
            contact.name: fan_words(self.outside_fan_deg[contact.name], contact.state)
            for contact in self.contacts
        }

    def document(self, *, film: Path | None = None) -> dict[str, Any]:
        """As data for machines; ``film`` is where its film was written."""
        landmarks = self.prediction.landmarks
        seat = self.exposure.seat
        return {
            "format": PREDICTION_FORMAT,
            "version": __version__,
            "view": self.view.name,
            "view_title": self.view.title,
            "mouth": self.station.outlines.mouth.name,
            "equipment": equipment_document(self.station),
            "placement": numbers(self.placement),
            "edges": edges_document(self.edges),
            "aim": numbers(self.aim),
            "contact_error_deg": known_deg(self.contact_error_deg),
            "opening_deg": round(float(seat.opening_deg[0]), 2),
            "closure_mm": round(float(seat.closure_mm[0]), 2),
            "beam_cover_mm": {
                place.value: round(margin, 2) for place, margin in self.beam_cover_mm.items()
            },
            "rating": rating_document(self.scheme, self.grade, self.question, self.fitness),
            "criteria": [finding_document(finding) for finding in self.findings],
            "contacts": [
                contact_document(contact)
                | {
                    "contact_error_deg": round(self.contact_errors_deg[contact.name], 2),
                    "beam": self.beam_words[contact.name],
                }
                for contact in self.contacts
            ],
            "structures": structures(landmarks),
            "film": None if film is None else str(film),
        }


def predict_exposure(
    of_view: View,
    at: Station,
    wanted: WantedSetting,
    *,
    by: RatedBy,
    cut: ClearEdge | None = None,
) -> ExposurePrediction:
    """Predict one exposure.

    ``cut``: the edge of the exposed part where its film is spoilt by a cone cut to order.

    Raises
    ------
    ReceptorTooLargeError, CannotOpenError
        If the receptor cannot be there.
    """
    of = asked(of_view, at, every_contact=True)
    setting = settled(wanted, of_view, at, of, question=by.question)
    made = set_exposure(at, setting)
    fans = open_fans(
        at.outlines,
        vertical_deg=float(made.aim.arrays()["vertical_deg"][0]),
        opening_deg=float(made.exposure.seat.opening_deg[0]),
    )
    answer = predicted(of_view, of, made, fans, by=by, cut=cut)
    fitting(answer.exposure)
    if wanted.planned and wanted.forward_mm is None and cut is None:
        said = planned_place_words(setting, at, of, question=by.question)
        return replace(answer, planned_place=said)
    return answer


def predicted(
    of_view: View,
    of: Asked,
    made: SetExposure,
    fans: tuple[OpenFan, ...],
    *,
    by: RatedBy,
    cut: ClearEdge | None = None,
) -> ExposurePrediction:
    """Predict an exposure that is set; whether the receptor fits there is not asked.

    ``of`` is the view asked of the exposure's station with every contact, ``fans`` are those of its
    vertical angle and opening.
    """
    exposure = made.exposure
    prediction = predict(exposure, of, question=by.question, cut=cut)
    sites = of.targets.sites
    errors = contact_errors_deg(exposure, sites)
    fan_of = {fan.site.pair: fan for fan in fans}
    return ExposurePrediction(
        view=of_view,
        station=exposure.station,
        placement=made.placement,
        aim=made.aim,
        exposure=exposure,
        prediction=prediction,
        findings=findings(prediction.measurements, prediction.rating, question=by.question),
        contacts=contact_findings(prediction.measurements, prediction.rating),
        contact_errors_deg={
            pair_name(site.pair): float(error) for site, error in zip(sites, errors[0], strict=True)
        },
        outside_fan_deg={
            pair_name(site.pair): fan_of[site.pair].outside_deg(
                float(error) + site.open_azimuth_deg
            )
            for site, error in zip(sites, errors[0], strict=True)
        },
        contact_error_deg=float(contact_error_deg(errors[:, own_contacts(of)])[0]),
        question=by.question,
        scheme=by.scheme,
        grade=prediction.rating.grade(by.scheme)[0],
    )


def structures(landmarks: Landmarks) -> list[dict[str, Any]]:
    """Every structure of the side: shown, outside the receptor, or cut off by the beam."""
    return [
        {
            "name": name,
            "status": STATUS_WORDS[Status(int(landmarks.status[0, column]))],
            "u_mm": round(float(landmarks.points_receptor[0, column, 0]), 2),
            "v_mm": round(float(landmarks.points_receptor[0, column, 1]), 2),
        }
        for column, name in enumerate(landmarks.names)
    ]


def numbers(thing: Placement | Aim) -> dict[str, float]:
    """Placement or aim of one exposure as plain numbers."""
    return {name: round(float(value[0]), 3) for name, value in thing.arrays().items()}


__all__ = ["ExposurePrediction", "predict_exposure", "predicted"]

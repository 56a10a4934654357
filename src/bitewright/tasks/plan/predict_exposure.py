"""Predict one exposure: what it opens, covers and cuts, and its film."""

from dataclasses import dataclass, field, replace
from functools import lru_cache
from pathlib import Path
from typing import Any

import numpy as np

from bitewright import __version__
from bitewright.exposing.aim import Aim
from bitewright.exposing.contact_error import contact_error_deg, contact_errors_deg
from bitewright.exposing.exposure import Exposures, Station, aimed, fitting
from bitewright.exposing.landmarks import Landmarks, Status
from bitewright.exposing.placement import Placement
from bitewright.exposing.receptor_edges import EdgePlace, edge_places
from bitewright.exposing.seating import Seat, SeatPlan, nearest_fit_mm, seat
from bitewright.film.film_faults import fault_from_text
from bitewright.film.film_kinds import Handling
from bitewright.planning.best_aim import Setting, best_aim
from bitewright.quality.criteria import Question
from bitewright.quality.findings import (
    ContactFinding,
    Finding,
    contact_findings,
    findings,
    pair_name,
)
from bitewright.quality.predicted import Asked, Prediction, asked, predict
from bitewright.quality.rating import RatingScheme, rating_scheme
from bitewright.quality.views import View, view
from bitewright.steps import Begin, Expect, uncounted, unwatched
from bitewright.tasks.all_cores import all_cores
from bitewright.tasks.catalogue.resources import StationRequest, station_for
from bitewright.tasks.documents import (
    contact_document,
    edge_document,
    equipment_document,
    finding_document,
    rating_document,
)
from bitewright.tasks.film.film_files import write_film
from bitewright.words.verdicts import STATUS_WORDS

PREDICTION_FORMAT = "bitewright.prediction/1"

KEPT_SEATS = 16
"""Seated receptors kept, and their drawings: a hand that moves the tube alone needs one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ExposureRequest:
    """One exposure as a person asks for it. [mm, deg]

    ``planned`` starts from the best setting found for view and mouth; the numbers given then
    change it. Otherwise ``ring_offset_deg`` counts from the ring, or ``contact_error_deg`` (if
    given) from the direction in which the view's contacts are open. ``swing_forward_deg`` swings
    the tube on from there. ``lingual_mm`` None seats the receptor as near the teeth as it fits.
    """

    view: str
    station: StationRequest = field(default_factory=StationRequest)
    planned: bool = False
    forward_mm: float | None = None
    lingual_mm: float | None = None
    height_mm: float = 0.0
    turn_deg: float | None = None
    tilt_deg: float = 0.0
    roll_deg: float = 0.0
    ring_offset_deg: float | None = None
    contact_error_deg: float | None = None
    swing_forward_deg: float = 0.0
    vertical_deg: float | None = None
    tube_forward_mm: float = 0.0
    tube_up_mm: float = 0.0
    question: Question = Question.ENAMEL
    scheme: str = "uk-2020"
    film: Path | None = None
    film_pixel_mm: float | None = None
    seed: int = 1
    mas: float | None = None
    look: str = "plain"
    faults: tuple[str, ...] = ()
    for_processing: bool = False


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
    edges: tuple[EdgePlace, ...]
    scheme: RatingScheme
    grade: str
    film: Path | None = None

    def document(self) -> dict[str, Any]:
        """As data for machines."""
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
            "edges": [edge_document(edge) for edge in self.edges],
            "aim": numbers(self.aim),
            "contact_error_deg": round(self.contact_error_deg, 2),
            "opening_deg": round(float(seat.opening_deg[0]), 2),
            "closure_mm": round(float(seat.closure_mm[0]), 2),
            "rating": rating_document(self.scheme, self.grade),
            "criteria": [finding_document(finding) for finding in self.findings],
            "contacts": [
                contact_document(contact)
                | {"contact_error_deg": round(self.contact_errors_deg[contact.name], 2)}
                for contact in self.contacts
            ],
            "structures": structures(landmarks),
            "film": None if self.film is None else str(self.film),
        }


def predict_exposure(
    request: ExposureRequest,
    *,
    begin: Begin = unwatched,
    expect: Expect = uncounted,
) -> ExposurePrediction:
    """Predict one exposure, and write its film if a path is given.

    ``begin`` and ``expect`` are told of its mouth's building as by `station_film_mouth`.

    Raises
    ------
    ReceptorTooLargeError, CannotOpenError
        If the receptor cannot be there.
    """
    at = station_for(view(request.view), request.station)
    made = predict_at(at, asked(view(request.view), at, every_contact=True), request)
    fitting(made.exposure)
    if request.film is None:
        return made
    film = write_film(
        request.film,
        made.exposure,
        view_name=made.view.name,
        pixel_mm=request.film_pixel_mm,
        seed=request.seed,
        handling=Handling(
            mas=request.mas,
            look=request.look,
            faults=tuple(fault_from_text(text) for text in request.faults),
            for_processing=request.for_processing,
        ),
        begin=begin,
        expect=expect,
    )
    return replace(made, film=film)


def predict_at(at: Station, of: Asked, request: ExposureRequest) -> ExposurePrediction:
    """Predict one exposure at a station made beforehand; whether it fits there is not asked.

    ``of`` is the request's view asked of the station with every contact.
    """
    wanted_view = view(request.view)
    scheme = rating_scheme(request.scheme)
    placement, seated, aim = _set(request, wanted_view, at, of)
    exposure = aimed(at, seated, aim)
    prediction = predict(exposure, of, question=request.question)
    errors = contact_errors_deg(exposure, of.targets.sites)
    columns = _columns(of)
    return ExposurePrediction(
        view=wanted_view,
        station=at,
        placement=placement,
        aim=aim,
        exposure=exposure,
        prediction=prediction,
        findings=findings(prediction.measurements, prediction.rating),
        contacts=contact_findings(prediction.measurements, prediction.rating),
        contact_errors_deg={
            pair_name(site.pair): float(error)
            for site, error in zip(of.targets.sites, errors[0], strict=True)
        },
        contact_error_deg=float(contact_error_deg(errors[:, columns])[0]),
        edges=edge_places(exposure),
        scheme=scheme,
        grade=prediction.rating.grade(scheme)[0],
    )


def exposure_at(at: Station, of: Asked, request: ExposureRequest) -> Exposures:
    """The exposure alone that `predict_at` predicts, a fraction of its time."""
    _, seated, aim = _set(request, view(request.view), at, of)
    return aimed(at, seated, aim)


def _set(
    request: ExposureRequest, of_view: View, at: Station, of: Asked
) -> tuple[Placement, Seat, Aim]:
    """Placement, seat and aim from what was asked, what was planned and what fits."""
    start = _planned(request, of_view, at) if request.planned else None
    forward, turn, ring, vertical = (
        asked_for if asked_for is not None else getattr(start, name) if start else 0.0
        for name, asked_for in (
            ("forward_mm", request.forward_mm),
            ("turn_deg", request.turn_deg),
            ("ring_offset_deg", request.ring_offset_deg),
            ("vertical_deg", request.vertical_deg),
        )
    )
    placement = Placement(
        forward_mm=forward,
        height_mm=request.height_mm,
        turn_deg=turn,
        tilt_deg=request.tilt_deg,
        roll_deg=request.roll_deg,
    )
    placement, seated = _seated(at.seating, placement, request.lingual_mm)
    aim = Aim(
        ring_offset_deg=ring,
        vertical_deg=vertical,
        tube_forward_mm=request.tube_forward_mm,
        tube_up_mm=request.tube_up_mm,
    )
    if request.contact_error_deg is not None:
        aim = replace(
            aim, ring_offset_deg=_ring_offset_for(request.contact_error_deg, seated, aim, at, of)
        )
    swung = float(np.ravel(aim.ring_offset_deg)[0]) + request.swing_forward_deg
    return placement, seated, replace(aim, ring_offset_deg=swung)


@lru_cache(maxsize=KEPT_SEATS)
def _seated(
    plan: SeatPlan, placement: Placement, lingual_mm: float | None
) -> tuple[Placement, Seat]:
    """Seat a receptor, without a distance as near the teeth as it fits; the last ones are kept."""
    if lingual_mm is None:
        lingual_mm = float(nearest_fit_mm(plan, placement)[0])
    placement = replace(placement, lingual_mm=lingual_mm)
    return placement, seat(plan, placement)


def _planned(request: ExposureRequest, of_view: View, at: Station) -> Setting:
    with all_cores() as threads:
        return best_aim(of_view, at, question=request.question, threads=threads).setting


def _ring_offset_for(wanted_deg: float, seated: Seat, aim: Aim, at: Station, of: Asked) -> float:
    """Ring offset that gives a contact error; two steps suffice, for one follows the other."""
    offset = 0.0
    for _ in range(4):
        exposure = aimed(at, seated, replace(aim, ring_offset_deg=offset))
        errors = contact_errors_deg(exposure, of.targets.sites)[:, _columns(of)]
        offset += wanted_deg - float(contact_error_deg(errors)[0])
    return offset


def _columns(of: Asked) -> list[int]:
    """Columns of the view's own contacts among all projected ones."""
    return [c for c, site in enumerate(of.targets.sites) if site.pair in of.wanted.contacts]


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


__all__ = [
    "KEPT_SEATS",
    "ExposurePrediction",
    "ExposureRequest",
    "exposure_at",
    "predict_at",
    "predict_exposure",
]

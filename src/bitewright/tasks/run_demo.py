"""The whole chain on an invented clinic: plan, faulty exposure, film, explanation, log, audit."""

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path

import numpy as np

from bitewright.errors import BitewrightError
from bitewright.files.disk import read_file
from bitewright.files.images import read_image, write_picture
from bitewright.files.marks_file import write_marks
from bitewright.keeping.whole_files import make_folder
from bitewright.marking.simulated_marker import marked_by_simulation
from bitewright.mouth.mouth import textbook_mouth
from bitewright.quality.views import view
from bitewright.report.side_by_side import side_by_side
from bitewright.report.typeset import picture_of
from bitewright.tasks.assess.assess_film import assess_film
from bitewright.tasks.assess.assessment_files import AssessmentFiles, write_assessment
from bitewright.tasks.assess.decoded_film import read_film
from bitewright.tasks.assess.explain_film import BesideTheMarks, explain_film
from bitewright.tasks.assess.film_assessment import FilmAssessment
from bitewright.tasks.assess.taken_film import read_taken_film
from bitewright.tasks.assess.usual_equipment import USUAL_TUBE
from bitewright.tasks.audit.audit_log import audit_log
from bitewright.tasks.audit.audit_request import AuditRequest, store_source
from bitewright.tasks.audit.simulate_school import simulate_school
from bitewright.tasks.audit.write_audit_report import write_audit_report
from bitewright.tasks.catalogue.named import (
    Equipment,
    equipment,
    named_equipment,
    station_for,
)
from bitewright.tasks.film.film_files import write_film
from bitewright.tasks.log.import_exposures import ImportRequest, import_exposures
from bitewright.tasks.plan.plan_view import ViewPlan, plan_view
from bitewright.tasks.plan.predict_exposure import ExposurePrediction, predict_exposure
from bitewright.tasks.plan.wanted_setting import WantedSetting
from bitewright.tasks.rated_by import RatedBy
from bitewright.tasks.teach.make_items import SetRequest
from bitewright.tasks.teach.set_files import write_handout, write_key_sheet, write_set
from bitewright.words import demo as words

VIEW = "right-premolar"
RECEPTOR, PLATE = "sensor-2", "plate-2"
HOLDER = "ring-holder"
TOO_FAR_FORWARD_DEG = 8.0
EXERCISES = 12
MARK_SD_MM = 0.1
SEED = 8
MARKS_SEED = 11
"""Marks with which the rating lies near its limit, so that its doubt is shown."""


class RealFilmAloneError(BitewrightError):
    """A real film was given without its marks, or marks without their film."""

    def __init__(self) -> None:
        super().__init__(
            "A real film is assessed from its marks: give --real-image and --real-marks together, "
            "or neither."
        )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class DemoStep:
    """One step of the demonstration: what happened, and what to open."""

    title: str
    story: str
    pictures: tuple[Path, ...] = ()
    assessment: FilmAssessment | None = None
    written: AssessmentFiles = field(default_factory=AssessmentFiles)


def run_demo(
    out: Path, *, real_image: Path | None = None, real_marks: Path | None = None
) -> Iterator[DemoStep]:
    """Run the demonstration, writing films, marks and pictures into a folder.

    Raises
    ------
    RealFilmAloneError
        If a real film is given without its marks, or marks without it.
    FileUnreadableError, FileUnwritableError
    """
    if (real_image is None) != (real_marks is None):
        raise RealFilmAloneError
    for path in (real_image, real_marks):
        if path is not None:
            read_file(path)  # refused before a minute's work, not after
    make_folder(out)
    of_view = view(VIEW)
    sensor, plate = (
        plan_view(of_view, station_for(of_view, textbook_mouth(), by), by=RatedBy())
        for by in (_equipment(RECEPTOR), _equipment(PLATE))
    )
    yield DemoStep(title=words.PLAN, story=_plan_story(sensor, plate))
    planned, exposed = (
        _exposed(sensor, swing_deg, out / name)
        for swing_deg, name in ((0.0, "planned.png"), (TOO_FAR_FORWARD_DEG, "exposed.png"))
    )
    both = out / "planned-and-exposed.png"
    films = [read_image(out / name) for name in ("planned.png", "exposed.png")]
    titles = words.exposed_titles(TOO_FAR_FORWARD_DEG)
    beside = side_by_side(films, titles, description=words.SIDE_BY_SIDE)
    write_picture(both, picture_of(beside), description=beside.description)
    yield DemoStep(
        title=words.EXPOSURE,
        story=words.exposure_story(
            planned.contacts,
            exposed.contacts,
            too_far_deg=TOO_FAR_FORWARD_DEG,
            grade=exposed.grade,
        ),
        pictures=(out / "planned.png", out / "exposed.png", both),
    )
    assessed, written = _assess_exposed(out, exposed)
    yield DemoStep(
        title=words.ASSESSED,
        story=words.ASSESSED_STORY,
        pictures=(
            out / "exposed.marks.json",
            out / "exposed-overlay.png",
            out / "exposed-movement.png",
        ),
        assessment=assessed,
        written=written,
    )
    yield _audited_year(out)
    yield _exercises(out / "exercises")
    if real_image is not None and real_marks is not None:
        overlay = out / "real-overlay.png"
        real, written = _assess(real_image, real_marks, AssessmentFiles(overlay=overlay))
        yield DemoStep(
            title=words.REAL,
            story=words.REAL_STORY,
            pictures=(overlay,),
            assessment=real,
            written=written,
        )


def _equipment(receptor: str) -> Equipment:
    return named_equipment(equipment(), receptor=receptor, holder=HOLDER, tube=USUAL_TUBE)


def _exposed(plan: ViewPlan, swing_deg: float, film: Path) -> ExposurePrediction:
    """The planned exposure with the tube swung on, and its film."""
    at, of_view = plan.plan.station, plan.plan.view
    wanted = WantedSetting(planned=True, swing_forward_deg=swing_deg)
    made = predict_exposure(of_view, at, wanted, by=RatedBy())
    write_film(film, made.exposure, of_view=of_view, pixel_mm=None, seed=SEED)
    return made


def _assess_exposed(
    out: Path, exposed: ExposurePrediction
) -> tuple[FilmAssessment, AssessmentFiles]:
    film = read_image(out / "exposed.png")
    marks = marked_by_simulation(
        exposed.prediction.landmarks,
        exposed.view,
        pixel_mm=film.pixel_mm or exposed.station.receptor.pixel_mm,
        image_name="exposed.png",
        receptor=RECEPTOR,
        sd_mm=MARK_SD_MM,
        generator=np.random.default_rng(MARKS_SEED),
    )
    write_marks(out / "exposed.marks.json", replace(marks, note=words.SIMULATED_MARKS))
    files = AssessmentFiles(
        overlay=out / "exposed-overlay.png", drawing=out / "exposed-movement.png"
    )
    return _assess(out / "exposed.png", out / "exposed.marks.json", files, holder=HOLDER)


def _assess(
    image: Path, marks: Path, files: AssessmentFiles, *, holder: str | None = None
) -> tuple[FilmAssessment, AssessmentFiles]:
    """A film assessed and explained from files, as by `bitewright assess`."""
    film, known = read_film(image), equipment()
    assessed = assess_film(
        film,
        read_taken_film(marks, known),
        holder=known.holder(holder) if holder else None,
        by=RatedBy(),
    )
    explained = explain_film(assessed, BesideTheMarks(known=known, tube=known.tube(USUAL_TUBE)))
    return explained, write_assessment(explained, film, files)


def _exercises(out: Path) -> DemoStep:
    """A set of exercises in the mouth that was planned for, as a page and on paper."""
    request = SetRequest(count=EXERCISES, seed=SEED, mouths=("textbook",), views=(VIEW,))
    files = write_set(request, out)
    papers = (
        write_handout(files.page, out / "handout.pdf"),
        write_key_sheet(files.page, files.key, out / "key.pdf"),
    )
    return DemoStep(
        title=words.EXERCISES,
        story=words.EXERCISES_STORY,
        pictures=(files.page, files.key, *papers),
    )


def _audited_year(out: Path) -> DemoStep:
    """An invented school's year taken into a log of its own, audited, and reported."""
    school = simulate_school(out / "year.csv", start=SCHOOL_START, seed=SEED)
    store = str(out / "log.sqlite")
    taken = import_exposures(ImportRequest(table=school.path, mapping=school.mapping, store=store))
    answer = audit_log(AuditRequest(source=store_source(store)))
    return DemoStep(
        title=words.AUDITED,
        story=words.audit_story(
            taken.added + taken.already_there,
            answer.answers,
            receptor_date=school.receptor_date,
            training_date=school.training_date,
            biased=school.biased,
            by_chance=school.by_chance,
        ),
        pictures=write_audit_report(answer, out / "audit", title=words.AUDIT_TITLE)[:2],
    )


SCHOOL_START = "2025-01-01"


def _plan_story(plan: ViewPlan, plate: ViewPlan) -> str:
    crest, plate_crest = (
        float(each.plan.prediction.measurements.crest_clearance_mm.min()) for each in (plan, plate)
    )
    return words.plan_story(
        plan.plan.setting,
        plan.slips,
        view=plan.plan.view.title,
        receptor=plan.plan.station.receptor.title,
        grade=plan.grade,
        crest_mm=crest,
        plate_crest_mm=plate_crest,
    )


__all__ = ["DemoStep", "RealFilmAloneError", "run_demo"]

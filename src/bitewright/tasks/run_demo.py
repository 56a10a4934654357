"""The whole chain on an invented clinic: plan, faulty exposure, film, explanation, log, audit."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from bitewright.files.images import read_image, write_picture
from bitewright.files.marks_file import write_marks
from bitewright.marking.simulated_marker import marked_by_simulation
from bitewright.report.side_by_side import side_by_side
from bitewright.tasks.assess.assess_film import AssessRequest, FilmAssessment, assess_film
from bitewright.tasks.assess.explain_film import ExplainRequest
from bitewright.tasks.audit.audit_log import AuditRequest, audit_log, store_source
from bitewright.tasks.audit.simulate_school import simulate_school
from bitewright.tasks.audit.write_audit_report import write_audit_report
from bitewright.tasks.catalogue.resources import StationRequest
from bitewright.tasks.log.import_exposures import ImportRequest, import_exposures
from bitewright.tasks.plan.plan_view import PlanRequest, ViewPlan, plan_view
from bitewright.tasks.plan.predict_exposure import (
    ExposurePrediction,
    ExposureRequest,
    predict_exposure,
)
from bitewright.words import demo as words

VIEW = "right-premolar"
RECEPTOR = "sensor-2"
HOLDER = "ring-holder"
TOO_FAR_FORWARD_DEG = 8.0
MARK_SD_MM = 0.1
SEED = 8


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class DemoStep:
    """One step of the demonstration: what happened, and what to open."""

    title: str
    story: str
    pictures: tuple[Path, ...] = ()
    assessment: FilmAssessment | None = None


def run_demo(
    out: Path, *, real_image: Path | None = None, real_marks: Path | None = None
) -> Iterator[DemoStep]:
    """Run the demonstration, writing films, marks and pictures into a folder."""
    out.mkdir(parents=True, exist_ok=True)
    station = StationRequest(receptor=RECEPTOR, holder=HOLDER)
    plan = plan_view(PlanRequest(view=VIEW, station=station))
    plate = plan_view(PlanRequest(view=VIEW, station=replace(station, receptor="plate-2")))
    yield DemoStep(title=words.PLAN, story=_plan_story(plan, plate))
    planned, exposed = (
        predict_exposure(
            ExposureRequest(
                view=VIEW,
                station=station,
                planned=True,
                swing_forward_deg=swing,
                film=out / name,
                seed=SEED,
            )
        )
        for swing, name in ((0.0, "planned.png"), (TOO_FAR_FORWARD_DEG, "exposed.png"))
    )
    both = out / "planned-and-exposed.png"
    films = [read_image(out / name) for name in ("planned.png", "exposed.png")]
    titles = words.exposed_titles(TOO_FAR_FORWARD_DEG)
    write_picture(both, side_by_side(films, titles), description=words.SIDE_BY_SIDE)
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
    assessed = _assess_exposed(out, exposed, station)
    yield DemoStep(
        title=words.ASSESSED,
        story=words.ASSESSED_STORY,
        pictures=(
            out / "exposed.marks.json",
            out / "exposed-overlay.png",
            out / "exposed-movement.png",
        ),
        assessment=assessed,
    )
    yield _audited_year(out)
    if real_image is not None and real_marks is not None:
        overlay = out / "real-overlay.png"
        real = assess_film(AssessRequest(image=real_image, marks=real_marks, overlay=overlay))
        yield DemoStep(
            title=words.REAL,
            story=words.REAL_STORY,
            pictures=(overlay,),
            assessment=real,
        )


def _assess_exposed(
    out: Path, exposed: ExposurePrediction, station: StationRequest
) -> FilmAssessment:
    film = read_image(out / "exposed.png")
    marks = marked_by_simulation(
        exposed.prediction.landmarks,
        exposed.view,
        pixel_mm=film.pixel_mm or exposed.station.receptor.pixel_mm,
        image_name="exposed.png",
        receptor=station.receptor,
        sd_mm=MARK_SD_MM,
        generator=np.random.default_rng(SEED),
    )
    write_marks(out / "exposed.marks.json", replace(marks, note=words.SIMULATED_MARKS))
    return assess_film(
        AssessRequest(
            image=out / "exposed.png",
            marks=out / "exposed.marks.json",
            holder=station.holder,
            overlay=out / "exposed-overlay.png",
            explain=ExplainRequest(drawing=out / "exposed-movement.png"),
        )
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


__all__ = ["DemoStep", "run_demo"]

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
from bitewright.words.audit_answers import Found

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
    yield DemoStep(title="1. The plan", story=_plan_story(plan, plate))
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
    titles = ["as planned", f"tube {TOO_FAR_FORWARD_DEG:g} degrees too far forward"]
    write_picture(both, side_by_side(films, titles), description="SIMULATED films side by side")
    yield DemoStep(
        title="2. The exposure",
        story=_exposure_story(planned, exposed),
        pictures=(out / "planned.png", out / "exposed.png", both),
    )
    assessed = _assess_exposed(out, exposed, station)
    yield DemoStep(
        title="3. The film assessed and explained from marks",
        story=(
            "A person marks the film; the same definitions measure and rate it, and the marks "
            "tell which way the tube was off."
        ),
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
            title="5. A real film, by the same definitions",
            story="Marks set by one of the developers, to show the tool; no diagnosis.",
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
    write_marks(out / "exposed.marks.json", marks)
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
    told = [each for each in answer.answers if each.found in (Found.YES, Found.MISSED)]
    return DemoStep(
        title="4. A year of the clinics, logged and audited",
        story=(
            f"{taken.added + taken.already_there} exposures of an invented school lie in a log. "
            f"Planted: new receptors from {school.receptor_date}, another technique from "
            f"{school.training_date}, a biased aim in {' and '.join(school.biased)}. Found: "
            + " ".join(f"{each.question} {each.sentence}" for each in told)
        ),
        pictures=write_audit_report(answer, out / "audit", title="Audit of a demo year")[:2],
    )


SCHOOL_START = "2025-01-01"


def _plan_story(plan: ViewPlan, plate: ViewPlan) -> str:
    setting = plan.plan.setting
    slips = [s for s in plan.slips if s.until_failed is not None and "tube swung" in s.movement]
    room = "; ".join(
        f"{slip.movement} {slip.until_failed:g} degrees until {slip.failed_criterion} fails"
        for slip in slips
    )
    crest, plate_crest = (
        float(each.plan.prediction.measurements.crest_clearance_mm.min()) for each in (plan, plate)
    )
    return (
        "A teaching clinic has changed from plates to rigid sensors, and its premolar bitewings "
        f"got worse. For {VIEW} with {RECEPTOR}: receptor {setting.lingual_mm:g} mm from the "
        f"crowns, tube {setting.ring_offset_deg:+g} degrees to the front of the ring's direction, "
        f"vertical angle {setting.vertical_deg:g} degrees. Predicted rating {plan.grade}. "
        f"Room: {room}. "
        f"Least bone shown beyond the crest: {crest:.1f} mm, with a plate of the same size "
        f"{plate_crest:.1f} mm."
    )


def _exposure_story(planned: ExposurePrediction, exposed: ExposurePrediction) -> str:
    changes = ", ".join(
        f"{before.name} {_figure(before.overlap_mm)} to {_figure(after.overlap_mm)} mm"
        for before, after in zip(planned.contacts, exposed.contacts, strict=True)
    )
    return (
        f"The student trusted the eye and not the plan: the tube stood {TOO_FAR_FORWARD_DEG:g} "
        f"degrees too far towards the front. Overlap as planned and as exposed: {changes}. "
        f"Predicted rating {exposed.grade}."
    )


def _figure(overlap_mm: float | None) -> str:
    """Two decimals, and nought without a sign."""
    return f"{round(overlap_mm or 0.0, 2) + 0.0:.2f}"


__all__ = ["DemoStep", "run_demo"]

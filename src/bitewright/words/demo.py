"""The demonstration's story: what happened at each step, with its own figures."""

from collections.abc import Iterable, Sequence

from bitewright.planning.best_aim import Setting
from bitewright.planning.tolerance import Slip, SlipWay
from bitewright.quality.findings import ContactFinding
from bitewright.words.answer import Answer, Found
from bitewright.words.invented_school import planted_words
from bitewright.words.phrases import counted
from bitewright.words.plans import SLIP_WORDS, slip_distance
from bitewright.words.predictions import beam_off
from bitewright.words.titles import criterion_title

PLAN, EXPOSURE = "1. The plan", "2. The exposure"
ASSESSED = "3. The film assessed and explained from marks"
AUDITED = "4. A year of the clinics, logged and audited"
EXERCISES = "5. A set of exercises"
REAL = "6. A real film, by the same definitions"

SIMULATED_MARKS = "Marks simulated on a simulated film."
ASSESSED_STORY = (
    "A person marks the film; the same definitions measure and rate it, and the marks tell which "
    "way the tube was off."
)
EXERCISES_STORY = (
    "Films with faults planted in them, for the next class: a page for students with films and "
    "questions, its key apart, and the same on paper. In the browser: the page Teach of "
    "`bitewright serve`."
)
REAL_STORY = "Marks set by one of the developers, to show the tool; no diagnosis."
AUDIT_TITLE = "Audit of a demo year"
SIDE_BY_SIDE = "SIMULATED films side by side"


def plan_story(
    setting: Setting,
    slips: Iterable[Slip],
    *,
    view: str,
    receptor: str,
    grade: str,
    crest_mm: float,
    plate_crest_mm: float,
) -> str:
    """Why a plan is wanted, what it is, and how much room it leaves.

    ``crest_mm`` and ``plate_crest_mm``: least bone shown beyond the crest, and with a plate. [mm]
    """
    swings = (SlipWay.TUBE_FORWARD, SlipWay.TUBE_BACK)
    room = "; ".join(
        f"{SLIP_WORDS[slip.movement]} {slip_distance(slip.until_failed, slip)} until "
        f"'{criterion_title(slip.failed_criterion)}' fails"
        for slip in slips
        if slip.movement in swings and slip.until_failed is not None
    )
    return (
        "A teaching clinic has changed from plates to rigid sensors, and its premolar bitewings "
        f"got worse. For a {view} view with a {receptor}: receptor {setting.lingual_mm:g} mm from "
        f"the crowns, tube {beam_off(setting.ring_offset_deg)} from the ring's direction, vertical "
        f"angle {setting.vertical_deg:g} degrees. Predicted rating {grade}. Room: {room}. "
        f"Least bone shown beyond the crest: {crest_mm:.1f} mm, with a plate of the same size "
        f"{plate_crest_mm:.1f} mm."
    )


def exposed_titles(too_far_deg: float) -> tuple[str, str]:
    """Titles of the films as planned and as exposed."""
    return "as planned", f"tube {too_far_deg:g} degrees too far forward"


def exposure_story(
    planned: Sequence[ContactFinding],
    exposed: Sequence[ContactFinding],
    *,
    too_far_deg: float,
    grade: str,
) -> str:
    """How the exposure went off its plan, and what that did to the contacts."""
    changes = ", ".join(
        f"{before.name} {_figure(before.overlap_mm)} to {_figure(after.overlap_mm)} mm"
        for before, after in zip(planned, exposed, strict=True)
    )
    return (
        f"The student trusted the eye and not the plan: the tube stood {too_far_deg:g} "
        f"degrees too far towards the front. Overlap as planned and as exposed: {changes}. "
        f"Predicted rating {grade}."
    )


def audit_story(
    exposures: int,
    answers: Iterable[Answer],
    *,
    receptor_date: str,
    training_date: str,
    biased: Sequence[str],
    by_chance: Sequence[str],
) -> str:
    """What was planted in an invented year, and what the audit found of it."""
    found = [each for each in answers if each.found in (Found.YES, Found.MISSED)]
    return (
        f"{counted(exposures, 'exposure')} of an invented school lie in a log. "
        f"{planted_words(receptor_date, training_date, biased, by_chance)} Found: "
        + " ".join(f"{each.question} {each.sentence}" for each in found)
    )


def _figure(overlap_mm: float | None) -> str:
    """Two decimals, and nought without a sign."""
    return f"{round(overlap_mm or 0.0, 2) + 0.0:.2f}"


__all__ = [
    "ASSESSED",
    "ASSESSED_STORY",
    "AUDITED",
    "AUDIT_TITLE",
    "EXERCISES",
    "EXERCISES_STORY",
    "EXPOSURE",
    "PLAN",
    "REAL",
    "REAL_STORY",
    "SIDE_BY_SIDE",
    "SIMULATED_MARKS",
    "audit_story",
    "exposed_titles",
    "exposure_story",
    "plan_story",
]

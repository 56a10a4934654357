"""What each answer of an audit cannot tell from what."""

from bitewright.audit.faults import FEWEST_NOTED
from bitewright.audit.known_courses import KnownCourses
from bitewright.audit.whole_audit import Audit, ChangeView
from bitewright.words.phrases import capital, counted, listed

LEARNING = "people learning"


def about_rate(told: Audit) -> str:
    """Of a rate: patients who are not logged, and a bar that moved."""
    bar = "The rate falls, too, where worse films are kept."
    return f"{about_cases(told)} {bar}".strip()


def about_cases(told: Audit) -> str:
    """That films of one patient are alike and the record does not say whose they are."""
    without = told.periods.without_case
    if not without:
        return ""
    which = "The record does not say which films are of one patient"
    if without < told.exposures:
        which = f"Of {counted(without, 'film')} the record does not say the patient"
    return f"{which}: these are alike, so the true interval is wider."


def about_targets(told: Audit) -> str:
    """Of grades: how strictly they were given."""
    return f"{about_cases(told)} Milder or stricter grading would move it as well.".strip()


def about_named_change(told: Audit | ChangeView, name: str) -> str:
    """Of a change on a named day: all else that came with it."""
    others = listed(["whatever else changed that day", *_not_allowed_for(told)], last="or")
    return f"It cannot be told from this record whether it was '{name}', {others}."


def about_change(told: Audit | ChangeView) -> str:
    """Of a change that was found and nobody named."""
    others = listed(["slow wander", *_not_allowed_for(told)], last="or")
    return f"{capital(others)} would look the same.{_how_to_allow(told)}"


def about_no_change() -> str:
    """Of a change that was not found."""
    return "That none was found does not show that nothing changed."


def about_faults(noted: int, *, is_led: bool, listed_for: bool) -> str:
    """Of faults: those nobody noted, too few of them, and what a checklist has done elsewhere."""
    few = ""
    if noted < FEWEST_NOTED:
        few = f" From fewer than {FEWEST_NOTED} it cannot be told which is the most frequent."
    elif not is_led:
        few = " The first lie too near each other to tell surely which is the most frequent."
    trials = (
        " Whether a checklist helps is not sure: films came out better in one of two published "
        "trials, and not in a demonstration on a phantom."
    )
    return f"Faults that nobody noted are missing here.{few}{trials if listed_for else ''}"


def allowed_words(told: Audit) -> tuple[str, ...]:
    """Which courses were allowed for, and which could not be; nothing where none was named."""
    names = course_names(told.settings.courses)
    kept = [name for name, used in zip(names, told.courses_used, strict=True) if used]
    left = [name for name, used in zip(names, told.courses_used, strict=True) if not used]
    said = []
    if kept:
        said.append(f"Allowed for wherever change is asked about: {listed(kept)}.")
    if left:
        said.append(
            f"Not allowed for: {listed(left)}. Too few rejects, or the others tell it already."
        )
    return tuple(said)


def course_names(courses: KnownCourses) -> tuple[str, ...]:
    """The courses as people call them, in the order of their columns."""
    seasons = tuple(f"the season '{season.name}'" for season in courses.seasons)
    return (*seasons, LEARNING) if courses.learning else seasons


def _not_allowed_for(told: Audit | ChangeView) -> list[str]:
    """What else moves rates and was not taken out."""
    courses, used = told.settings.courses, told.courses_used
    season = any(used[: len(courses.seasons)])
    learning = courses.learning and used[-1]
    named = "another season" if season else "a season"
    return [named] if learning else [named, LEARNING]


def _how_to_allow(told: Audit | ChangeView) -> str:
    if told.settings.courses.seasons or told.settings.courses.learning:
        return ""
    return " Seasons and learning can be named and are then allowed for."


__all__ = [
    "about_change",
    "about_faults",
    "about_named_change",
    "about_no_change",
    "about_rate",
    "about_targets",
    "allowed_words",
    "course_names",
]

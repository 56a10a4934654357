"""The first page of an audit report: what was asked of which films, and what came out."""

from collections.abc import Sequence

from bitewright.audit.counted_by import Event
from bitewright.audit.groupings import date_of
from bitewright.audit.people_counts import PersonCounts
from bitewright.audit.proportions import ShareDifference
from bitewright.audit.targets import TargetVerdict
from bitewright.audit.whole_audit import Audit
from bitewright.quality.rating_schemes import RatingScheme
from bitewright.words.log_titles import fault_title
from bitewright.words.phrases import are, capital, counted, listed
from bitewright.words.rates import share_words

AIM = (
    "That a film answers its question at the first exposure, so that no patient is exposed again "
    "without need."
)
TARGET_SAYS = {
    TargetVerdict.MET: "target met",
    TargetVerdict.MISSED: "target missed",
    TargetVerdict.TOO_FEW: "too few films to tell whether the target is met",
}
HAPPENED = {Event.REJECT: "rejected", Event.RETAKE: "retakes"}
NO_EARLIER = (
    "Not compared. Give the first day of this period with `--since DAY`: then as many days before "
    "it are set beside it."
)
NONE_BEFORE = "The record has no film in as many days before this period."


def standard_line(told: Audit) -> str:
    """What is aimed at, whose standard it is and of which year."""
    scheme = told.settings.scheme
    bounds = listed(
        [
            f"grade {each.grade} {'at least' if each.at_least else 'at most'} {each.target:.0%}"
            for each in told.standings
        ]
    )
    if told.settings.own_source:
        return f"{scheme.in_full}. {capital(bounds)}. {told.settings.own_source}"
    source = f"Source: {scheme.source}."
    if told.settings.own_targets:
        source = "These targets were given for this report."
    return f"{scheme.in_full}. {capital(bounds)}. {source}"


def period_line(told: Audit) -> str:
    """From when to when."""
    return f"{date_of(told.first_day)} to {date_of(told.last_day)}"


def films_line(told: Audit, *, undecided: int, ungraded: int) -> str:
    """How many films are counted, which are left out, and why."""
    left = (
        f" {capital(counted(undecided, 'film'))} left out: nobody has decided on them."
        if undecided
        else ""
    )
    no_grade = (
        f" {ungraded} of those counted {are(ungraded)} not graded under "
        f"{told.settings.scheme.title}: in the rate of {told.settings.event.value}s, not in the "
        "target."
        if ungraded
        else ""
    )
    return f"{capital(counted(told.exposures, 'film'))} counted.{left}{no_grade}"


def result_line(told: Audit) -> str:
    """The rate and how the best grade stands against its target."""
    best = next((each for each in told.standings if each.at_least and each.share.total), None)
    target = (
        ""
        if best is None
        else f" Grade {best.grade}: {share_words(best.share)}; {TARGET_SAYS[best.verdict]}."
    )
    return f"{capital(HAPPENED[told.settings.event])}: {share_words(told.overall)}.{target}"


def earlier_line(pair: ShareDifference, first_day: int, last_day: int) -> str:
    """The films before this period beside this period's."""
    when = f"{date_of(first_day)} to {date_of(last_day)}: {share_words(pair.first)}."
    if not (pair.first.enough and pair.second.enough):
        return f"{when} Too few films to tell a change."
    more = "more" if pair.difference > 0 else "fewer"
    verdict = "beyond chance" if pair.settled else "no more than chance may make"
    return (
        f"{when} Now {100 * abs(pair.difference):.1f} points {more} (interval of the difference "
        f"{100 * pair.low:+.1f} to {100 * pair.high:+.1f} points): {verdict}."
    )


def graded_by_line(deciders: Sequence[tuple[str, int]]) -> str:
    """Who decided on the films, by code, with how many each."""
    said = listed([f"{code} ({counted(count, 'film')})" for code, count in deciders])
    return f"Decided on by {said}."


def people_title(scheme: RatingScheme) -> str:
    """Heading of the table of people."""
    return f"Grades and faults by person ({scheme.title})"


PEOPLE_SAY = (
    "Counts, in the order of the codes; nobody is ranked. People differ in their work and by "
    "chance: talk with a person about films, not about a place in this table."
)


def faults_cell(person: PersonCounts, most: int = 3) -> str:
    """A person's most frequent faults with their counts."""
    return ", ".join(f"{fault_title(name)} {count}" for name, count in person.faults[:most])


def grades_line(person: PersonCounts) -> str:
    """How many films of each grade, and how many without one."""
    said = [f"{count} {grade}" for grade, count in person.grades.items()]
    if person.ungraded:
        said.append(f"{person.ungraded} without a grade")
    return f"{capital(listed(said))}."


__all__ = [
    "AIM",
    "NONE_BEFORE",
    "NO_EARLIER",
    "PEOPLE_SAY",
    "earlier_line",
    "faults_cell",
    "films_line",
    "graded_by_line",
    "grades_line",
    "people_title",
    "period_line",
    "result_line",
    "standard_line",
]

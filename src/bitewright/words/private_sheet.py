"""One person's private sheet: their own films and their own course, told to them alone."""

from bitewright.audit.funnel import OperatorStanding
from bitewright.audit.people_counts import PersonCounts
from bitewright.audit.proportions import FEWEST, Share
from bitewright.log.checklists import Checklists
from bitewright.words.audit_method import Heading
from bitewright.words.checklists import in_order
from bitewright.words.log_titles import fault_title
from bitewright.words.phrases import counted, listed
from bitewright.words.rates import percent, share_words

OPENING = "At your next exposures"
COURSE_TITLE = "Your course"
COURSE_SAYS = "Counts alone: too few films in a stretch of time for a rate."


def private_title(code: str, title: str) -> str:
    """Heading of the sheet."""
    return f"{title}: private sheet of {code}"


def private_about(code: str) -> str:
    """For whom it is."""
    return f"For {code} alone, to talk over with whoever teaches or leads. It ranks nobody."


def kept_line(own: Share) -> str:
    """What went well first: how many films served."""
    served = own.total - own.count
    if not own.enough:
        return (
            f"{served} of {counted(own.total, 'film')} served. With fewer than {FEWEST} films no "
            "rate can be told; the films themselves can be looked at."
        )
    return f"{served} of {counted(own.total, 'film')} served; {share_words(own)} did not."


def beside_all_line(overall: Share, standing: OperatorStanding | None) -> str:
    """All together, and whether the difference is more than chance and work explain."""
    if standing is None or not standing.enough or not overall.enough:
        return f"Too few films to set beside the others'. All together: {percent(overall.share)}."
    said = (
        "more than chance and usual differences between people make: look at the films together"
        if standing.beyond
        else "no more than chance and usual differences between people make"
    )
    return (
        f"All together: {percent(overall.share)}. Yours, set against like work: most likely "
        f"{percent(standing.likely_rate)} ({100 * standing.low:.1f} to {percent(standing.high)}). "
        f"The difference is {said}."
    )


def faults_line(person: PersonCounts) -> str:
    """Which faults were noted on how many films."""
    if not person.faults:
        return "None was noted."
    said = [f"{fault_title(name)} on {count}" for name, count in person.faults[:5]]
    return f"Noted on your films, kept ones too: {listed(said)}."


def private_actions(person: PersonCounts, aim: str, checklists: Checklists) -> tuple[str, ...]:
    """What to do next: the commonest fault's steps, and the aim where it is steadily off."""
    out: list[str] = []
    if person.faults:
        fault = person.faults[0][0]
        if fault in checklists:
            steps = in_order(checklists[fault])
            out.append(f"{OPENING}, for {fault_title(fault)}, look at: {steps}.")
    if aim:
        out.append(aim)
    return tuple(out) or ("Go on as you do.",)


def private_methods() -> tuple[Heading, ...]:
    """What the sheet cannot tell."""
    return (
        Heading(
            title="What this cannot tell",
            paragraphs=(
                (
                    "Why a film did not serve: patients differ, and so do the views that were "
                    "asked for. The interval after a rate holds the true rate in 19 cases of 20; "
                    "with few films it is wide, and a good or a bad month is mostly chance."
                ),
            ),
        ),
    )


__all__ = [
    "COURSE_SAYS",
    "COURSE_TITLE",
    "OPENING",
    "beside_all_line",
    "faults_line",
    "kept_line",
    "private_about",
    "private_actions",
    "private_methods",
    "private_title",
]

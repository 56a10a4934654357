"""A film's rating under a scheme, and what it is good for."""

from collections.abc import Iterable, Mapping, Sequence

from bitewright.marking.rating_chances import SURE, StateChance
from bitewright.quality.criteria import CriterionName
from bitewright.quality.findings import ContactFinding, Finding
from bitewright.quality.questions import AnyQuestion, plain_question, questions
from bitewright.quality.rating import ContactState, Outcome
from bitewright.words.landmarks import place_title
from bitewright.words.phrases import are, listed
from bitewright.words.reasons import NEEDS

OPEN_YET = "?"
"""Stands for a grade where too little is marked to tell."""


def rating_words(grade: str, scheme: str) -> str:
    """A film's grade."""
    return f"Rating {grade} ({scheme})."


def predicted_rating(purpose: str, grade: str, scheme: str) -> str:
    """What a view is for, and the grade a plan is predicted to get."""
    return f"{_wanted(purpose)} Predicted rating {grade} ({scheme})."


def exposure_rating(purpose: str, grade: str, scheme: str) -> str:
    """What a view is for, and the grade an exposure is predicted to get."""
    return f"{_wanted(purpose)} {rating_words(grade, scheme)}"


def _wanted(purpose: str) -> str:
    """What a view is for, told as what it wants: a film of it may show less."""
    return f"Wanted: {purpose[:1].lower()}{purpose[1:]}."


def rating_doubt(grade: str, chances: Mapping[str, float]) -> str | None:
    """How the marks' uncertainty may turn a grade, over all contacts together; None if hardly.

    Parameters
    ----------
    grade : str
        As measured.
    chances : mapping
        How likely each grade is by the marks.
    """
    if chances.get(grade, 0.0) >= SURE or grade == OPEN_YET:
        return None
    told = [
        f"{each} a chance of {share:.0%}"
        for each, share in chances.items()
        if share >= 0.01 and each != OPEN_YET
    ]
    left = chances.get(OPEN_YET, 0.0)
    more = f", and leave {left:.0%} that more has to be marked to tell" if left >= 0.01 else ""
    return (
        "The rating is uncertain: taking all contacts together, and that enamel varies, the marks "
        f"give {listed(told)}{more}."
    )


def doubt_words(
    grade: str,
    chances: Mapping[str, float],
    contacts: Iterable[tuple[ContactFinding, StateChance | None]],
) -> str | None:
    """How the marks may turn a grade, and why the chances of a contact speak against its figure.

    Parameters
    ----------
    grade : str
        As measured.
    chances : mapping
        How likely each grade is by the marks.
    contacts : iterable of (ContactFinding, StateChance or None)
        As measured, each with its chances.
    """
    names = [
        contact.name
        for contact, chance in contacts
        if contact.state is ContactState.UNREADABLE
        and chance is not None
        and chance.unreadable < EVEN
    ]
    said = [rating_doubt(grade, chances) or ""]
    if names:
        said.append(
            f"At {listed(names)} the marks by themselves measure more than can be read. The "
            "chances also count the film's other contacts and how wide contacts are on films at "
            "large: a single wide one among narrow ones is oftener a mark that is off."
        )
    return " ".join(filter(None, said)) or None


EVEN = 0.5


def openness_words(states: Sequence[ContactState], all_open: float) -> str | None:
    """That every contact shown is open, or is as far as marks can tell; None where one is not.

    Parameters
    ----------
    states : sequence of ContactState
        As `told_states` tells them, of the contacts shown.
    all_open : float
        How likely all of them are open.
    """
    if not states or not set(states) <= {ContactState.OPEN, ContactState.NOT_TOLD_FROM_OPEN}:
        return None
    if all_open >= SURE:
        return f"Every contact shown is open (chance {all_open:.0%})."
    return (
        "As far as marks can tell, each contact shown may be open; the chance that all of them are "
        f"at once is {all_open:.0%}."
    )


def fitness_words(
    question: AnyQuestion,
    findings: Sequence[Finding],
    missing: Sequence[str],
    unreadable: Sequence[str] = (),
    not_needed: Sequence[str] = (),
    not_needed_perhaps: Sequence[str] = (),
    not_marked: Sequence[str] = (),
    needed_missing: Sequence[str] = (),
) -> str:
    """Whether an image answers its question, and what it does not show of the ideal.

    Parameters
    ----------
    question : AnyQuestion
    findings : sequence of Finding
    missing : sequence of str
        What the view wants and the image does not show.
    unreadable : sequence of str, optional
        Contacts that it needs and that cannot be read; else the widest overlap alone is named.
    not_needed : sequence of str, optional
        Contacts that cannot be read either, which it does not need.
    not_needed_perhaps : sequence of str, optional
        Such contacts that may as well be readable.
    not_marked : sequence of str, optional
        What the view wants and of which no mark tells whether it is shown.
    needed_missing : sequence of str, optional
        What of ``missing`` the question needs; else what lies furthest off alone is named.
    """
    for_what = questions()[plain_question(question)].good_for
    failed = [each for each in findings if each.outcome is Outcome.FAILED]
    if failed:
        why = [_failure(each, unreadable, needed_missing) for each in failed]
        return f"Not good for {for_what}: {listed(why)}."
    lacking = dict.fromkeys(NEEDS[each.criterion.name] for each in findings if each.unsettled)
    if lacking:
        return f"Not known whether it is good for {for_what}: it lacks {listed(list(lacking))}."
    said = [f"{listed(not_needed)}, not needed for it, cannot be read"] if not_needed else []
    if not_needed_perhaps:
        said.append(f"{listed(not_needed_perhaps)}, not needed for it, perhaps cannot be read")
    if missing:
        said.append(listed(_missing(missing)))
    said += _not_marked(not_marked)
    if not missing:
        said.append(f"everything {'else ' if not_marked else ''}the view wants is shown")
    return f"Good for {for_what}; {'; '.join(said)}."


def _failure(finding: Finding, unreadable: Sequence[str], lost: Sequence[str]) -> str:
    """What failed, in few words."""
    name = finding.criterion.name
    place = "" if finding.place is None else place_title(finding.place)
    crests = [place_title(each.removesuffix(".crest")) for each in lost if each.endswith(".crest")]
    contacts = [each for each in lost if "." not in each]
    if name is CriterionName.CONTACTS_OPEN:
        return f"{listed(unreadable) or place} cannot be read"
    if name is CriterionName.CREST:
        return f"no bone crest at {listed(crests) or place}"
    if name is CriterionName.LEVEL:
        return "the bite slopes too much"
    if name is CriterionName.CONTACTS_SHOWN and contacts:
        return f"{listed(contacts)} {are(len(contacts))} not shown"
    return f"{place} is not shown"


MOST_CRESTS = 2
"""So many crests are named; more are counted. Our choice."""


def _not_marked(names: Sequence[str]) -> list[str]:
    """What nobody has marked yet: it may be shown or not."""
    crests = [place_title(name.removesuffix(".crest")) for name in names if name.endswith(".crest")]
    others = [place_title(name) for name in names if not name.endswith(".crest")]
    if len(crests) > MOST_CRESTS:
        others.append(f"{len(crests)} bone crests")
    elif crests:
        others.append(f"the bone {'crest' if len(crests) == 1 else 'crests'} at {listed(crests)}")
    return [f"{listed(others)} not marked"] if others else []


def _missing(names: Sequence[str]) -> list[str]:
    crests = [place_title(name.removesuffix(".crest")) for name in names if name.endswith(".crest")]
    others = [place_title(name) for name in names if not name.endswith(".crest")]
    said = [f"{listed(others)} not shown"] if others else []
    return [*said, f"no bone crest at {listed(crests)}"] if crests else said


__all__ = [
    "doubt_words",
    "exposure_rating",
    "fitness_words",
    "openness_words",
    "predicted_rating",
    "rating_doubt",
    "rating_words",
]

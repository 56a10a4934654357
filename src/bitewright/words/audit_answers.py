"""What an audit found, in sentences, and what to do about it."""

from collections.abc import Sequence
from math import floor, isclose, sqrt

from bitewright.audit.counted_by import Event
from bitewright.audit.faults import FEWEST_NOTED, FaultCount
from bitewright.audit.proportions import FEWEST, Share
from bitewright.audit.sample_size import images_for_change
from bitewright.audit.targets import TargetStanding, TargetVerdict
from bitewright.audit.whole_audit import Audit
from bitewright.log.checklists import Checklists
from bitewright.words.answer import Answer, Found
from bitewright.words.cannot_tell import about_faults, about_rate, about_targets
from bitewright.words.change_answers import dated_change, slow_drift, unnamed_change
from bitewright.words.checklists import in_order
from bitewright.words.log_titles import fault_title
from bitewright.words.people_answers import operators_apart, steady_aims
from bitewright.words.phrases import are, capital, counted, listed
from bitewright.words.rates import interval_words, percent, share_words, undecided_words
from bitewright.words.unedited_marks import unedited_answers
from bitewright.words.verdicts import TARGET_WORDS

SURE_DEVIATIONS = 1.96
"""Standard deviations between two counts from which on one is surely the higher: 95%."""
PASSIVE = {Event.REJECT: "rejected", Event.RETAKE: "retakes"}


FOUND = {
    TargetVerdict.MET: Found.MET,
    TargetVerdict.MISSED: Found.MISSED,
    TargetVerdict.TOO_FEW: Found.TOO_FEW,
}


def audit_answers(told: Audit, checklists: Checklists, *, named: bool = True) -> tuple[Answer, ...]:
    """The page of answers, in the order people ask; ``named``: whether with codes of people."""
    changes = told.changes
    return (
        _how_many(told),
        *_targets(told),
        *(dated_change(told, change) for change in changes),
        unnamed_change(told),
        slow_drift(told),
        operators_apart(told.funnel, told.settings.event, named=named),
        *steady_aims(told, named=named),
        *_faults(told, checklists),
        *_retakes(told),
        *unedited_answers(told, named=named),
    )


def undecided_answers(count: int) -> tuple[Answer, ...]:
    """That some exposures are in no figure because nobody has decided on them; nothing if none."""
    if not count:
        return ()
    return (
        Answer(
            topic="record",
            question="Has everything been decided on?",
            found=Found.MISSED,
            sentence=undecided_words(count),
            actions=(DECIDE_FIRST,),
        ),
    )


DECIDE_FIRST = (
    "Decide on the exposures that are still open (`bitewright log decide-many`), then look again: "
    "if they differ from the others, every figure moves."
)


def actions(found: tuple[Answer, ...]) -> tuple[str, ...]:
    """What follows from the answers."""
    return tuple(action for answer in found for action in answer.actions)


def reaudit_size(told: Audit) -> int | None:
    """Images in each cycle that would show the rate fall by a quarter; None if it is zero."""
    rate = told.overall.share
    return images_for_change(rate, 0.75 * rate) if 0.0 < rate < 1.0 else None


def _how_many(told: Audit) -> Answer:
    passive = PASSIVE[told.settings.event]
    share, expected = told.overall, told.expected
    against = ""
    if expected is not None and share.enough:
        way = "in line with"
        if share.low > expected.rate:
            way = "more than"
        elif share.high < expected.rate:
            way = "less than"
        against = (
            f" That is {way} the {expected.rate:.2%} others published for {expected.kind} "
            f"({expected.year})."
        )
    return Answer(
        topic="rate",
        question=f"How many exposures are {passive}?",
        found=Found.NOTED if share.enough else Found.TOO_FEW,
        sentence=f"{share_words(share)}.{against}" if share.enough else _too_few_for_a_rate(share),
        actions=_look_whether_all_is_logged(told),
        cannot_tell=about_rate(told),
    )


def _too_few_for_a_rate(share: Share) -> str:
    """So few films as the table beside gives no rate of."""
    return (
        f"{share.count} of {share.total}: too few to tell a rate "
        f"({100 * share.confidence:.0f}% interval {interval_words(share)})."
    )


def _look_whether_all_is_logged(told: Audit) -> tuple[str, ...]:
    """What so few films, or none at all that was not kept, ask for."""
    share, event = told.overall, told.settings.event
    if not share.enough:
        films = counted(share.total, "film")
        few = f"{films} {are(share.total)} too few to tell anything by, a rate takes {FEWEST}."
        return (f"Go on logging every film: {few}",)
    if share.count:
        return ()
    films = counted(share.total, "film")
    again = " Then let somebody else grade ten of the films anew." if event is Event.REJECT else ""
    return (f"Ask whether every {event.value} is logged: there is none among {films}.{again}",)


def _targets(told: Audit) -> list[Answer]:
    scheme = told.settings.scheme
    if not any(standing.share.total for standing in told.standings):
        sentence = f"No exposure of this record is rated under the scheme {scheme.title}."
        return [
            Answer(
                topic="target",
                question=f"Are the targets of {scheme.title} met?",
                found=Found.TOO_FEW,
                sentence=sentence,
            )
        ]
    out = []
    for standing in told.standings:
        if _says_the_same(standing, told.standings):
            continue
        bound = "at least" if standing.at_least else "at most"
        missed = standing.verdict is TargetVerdict.MISSED
        out.append(
            Answer(
                topic="target",
                question=f"Is grade {standing.grade} {bound} {standing.target:.0%} "
                f"({scheme.title})?",
                found=FOUND[standing.verdict],
                sentence=f"{capital(TARGET_WORDS[standing.verdict])}: {share_words(standing.share)}"
                f"{_beside(standing)}.",
                actions=(_bring_to(standing),) if missed and standing.at_least else (),
                cannot_tell=about_targets(told) if standing.at_least else "",
            )
        )
    return out


def _says_the_same(standing: TargetStanding, standings: Sequence[TargetStanding]) -> bool:
    """Whether an upper bound is the other side of a lower one: of two grades that share 100%."""
    others = [each for each in standings if each is not standing]
    if standing.at_least or len(others) != 1 or not others[0].at_least:
        return False
    other, share = others[0], standing.share
    return (
        isclose(standing.target + other.target, 1.0)
        and share.total == other.share.total == share.count + other.share.count
    )


def _bring_to(standing: TargetStanding) -> str:
    """What meeting the target takes, in films of this record."""
    share = standing.share
    may = floor(round((1.0 - standing.target) * share.total, 6))
    return (
        f"Bring grade {standing.grade} to at least {standing.target:.0%}: of "
        f"{counted(share.total, 'film')} at most {may} may fall short of it; "
        f"{share.total - share.count} did."
    )


def _beside(standing: TargetStanding) -> str:
    """Where the bare share lies when the interval leaves it open."""
    if standing.verdict is not TargetVerdict.TOO_FEW:
        return ""
    short = "short of the target" if standing.at_least else "above the target"
    side = short if standing.falls_short else "within the target"
    return f"; the share itself is {side}, the interval reaches across it"


def _faults(told: Audit, checklists: Checklists) -> list[Answer]:
    question = "Which faults spoil most films?"
    if not told.faults:
        sentence = "No fault is noted on a rejected exposure."
        return [Answer(topic="faults", question=question, found=Found.TOO_FEW, sentence=sentence)]
    few = [fault for k, fault in enumerate(told.faults) if k == 0 or _before(told, k) < 0.75]
    first = few[0].among_faults
    rejected = counted(few[0].among_exposures.total, "rejected film")
    together = sum(fault.among_faults.count for fault in few)
    share = f" ({percent(together / first.total)})" if first.total >= FEWEST_NOTED else ""
    by_films = sorted(few, key=lambda fault: -fault.among_exposures.count)
    said = listed([f"{fault_title(f.label)} on {f.among_exposures.count}" for f in by_films])
    return [
        Answer(
            topic="faults",
            question=question,
            found=Found.NOTED,
            sentence=f"{capital(said)} of the {rejected}: {together} of the "
            f"{counted(first.total, 'fault')} noted on them{share}.",
            actions=(_begin_with(told.faults, checklists),),
            cannot_tell=about_faults(
                first.total, is_led=_is_led(told.faults), listed_for=few[0].label in checklists
            ),
        )
    ]


def _is_led(faults: Sequence[FaultCount]) -> bool:
    """Whether one fault stands on surely more films than the next."""
    second, first = sorted([0, *(fault.among_exposures.count for fault in faults)])[-2:]
    return first - second > SURE_DEVIATIONS * sqrt(first + second)


def _begin_with(faults: Sequence[FaultCount], checklists: Checklists) -> str:
    """What to look at for the commonest fault, and which others are as common."""
    fault = faults[0]
    alike = [
        fault_title(each.label)
        for each in faults[1:]
        if each.among_exposures.count == fault.among_exposures.count
    ]
    tied = f" {capital(listed(alike))} {are(len(alike))} noted as often." if alike else ""
    checklist = checklists.get(fault.label)
    if checklist is None:
        return f"Begin with {fault_noted(fault)}.{tied}"
    return (
        f"Begin with {fault_noted(fault)}.{tied} Lay this list at the chair (`bitewright "
        f"checklists here` prints it) and look, before each exposure, at: {in_order(checklist)}."
    )


def fault_noted(fault: FaultCount) -> str:
    """A fault and on how many rejected films it was noted."""
    return f"{fault_title(fault.label)}, {noted_on(fault)}"


def noted_on(fault: FaultCount) -> str:
    """On how many rejected films a fault was noted."""
    noted = fault.among_exposures
    return f"noted on {noted.count} of the {counted(noted.total, 'rejected film')}"


def _before(told: Audit, place: int) -> float:
    return told.faults[place - 1].cumulative


def _retakes(told: Audit) -> list[Answer]:
    share = told.retakes_succeeded
    if not share.total:
        return []
    return [
        Answer(
            topic="retakes",
            question="Do retakes succeed?",
            found=Found.NOTED if share.enough else Found.TOO_FEW,
            sentence=f"{share_words(share)} of the retakes whose outcome is known did.",
        )
    ]


__all__ = ["actions", "audit_answers", "fault_noted", "reaudit_size", "undecided_answers"]

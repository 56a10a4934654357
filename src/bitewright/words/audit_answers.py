"""What an audit found, in sentences, and what to do about it."""

from dataclasses import dataclass
from enum import StrEnum

from bitewright.audit.dated_change import BeforeAfter
from bitewright.audit.groupings import date_of
from bitewright.audit.proportions import Share
from bitewright.audit.rates import Event
from bitewright.audit.sample_size import images_for_change
from bitewright.audit.targets import TargetStanding, TargetVerdict
from bitewright.audit.unexplained_change import ChangePoint
from bitewright.audit.whole_audit import Audit
from bitewright.words.aim import advice
from bitewright.words.phrases import capital
from bitewright.words.titles import fault_title
from bitewright.words.verdicts import TARGET_WORDS

PASSIVE = {Event.REJECT: "rejected", Event.RETAKE: "retaken"}


class Found(StrEnum):
    """How an answer came out."""

    YES = "found"
    NO = "not found"
    MET = "met"
    MISSED = "missed"
    TOO_FEW = "too few to tell"
    NOTED = "noted"


FOUND_SIGNS = {
    Found.YES: "!",
    Found.MISSED: "!",
    Found.NO: "=",
    Found.MET: "=",
    Found.TOO_FEW: "?",
    Found.NOTED: "-",
}
"""A sign for each, so that colour alone carries nothing."""


FOUND = {
    TargetVerdict.MET: Found.MET,
    TargetVerdict.MISSED: Found.MISSED,
    TargetVerdict.TOO_FEW: Found.TOO_FEW,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """One question with its answer; ``actions`` is what follows from it, if anything does."""

    topic: str
    question: str
    found: Found
    sentence: str
    actions: tuple[str, ...] = ()


def audit_answers(told: Audit) -> tuple[Answer, ...]:
    """The page of answers, in the order people ask."""
    changes = told.changes
    return (
        _how_many(told),
        *_targets(told),
        *(_change(change) for change in changes),
        _unnamed(told),
        _drift(told),
        _operators(told),
        *_aims(told),
        *_faults(told),
        *_retakes(told),
    )


def actions(found: tuple[Answer, ...]) -> tuple[str, ...]:
    """What follows from the answers."""
    return tuple(action for answer in found for action in answer.actions)


def reaudit_size(told: Audit) -> int | None:
    """Images in each cycle that would show the rate fall by a quarter; None if it is nought."""
    rate = told.overall.share
    return images_for_change(rate, 0.75 * rate) if 0.0 < rate < 1.0 else None


def percent(share: float) -> str:
    """A share as people read it."""
    return f"{100 * share:.1f}%"


def share_words(share: Share) -> str:
    """So many of so many, with the interval."""
    return (
        f"{share.count} of {share.total} ({percent(share.share)}, "
        f"{100 * share.confidence:.0f}% interval {100 * share.low:.1f} to {percent(share.high)})"
    )


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
        sentence=f"{share_words(share)}.{against}",
    )


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
        bound = "at least" if standing.at_least else "at most"
        missed = standing.verdict is TargetVerdict.MISSED
        to_do = (
            f"Decide what is to change so that grade {standing.grade} comes to {bound} "
            f"{standing.target:.0%}, and set a date to audit again."
        )
        out.append(
            Answer(
                topic="target",
                question=f"Is grade {standing.grade} {bound} {standing.target:.0%} "
                f"({scheme.title})?",
                found=FOUND[standing.verdict],
                sentence=f"{capital(TARGET_WORDS[standing.verdict])}: {share_words(standing.share)}"
                f"{_beside(standing)}.",
                actions=(to_do,) if missed and standing.at_least else (),
            )
        )
    return out


def _beside(standing: TargetStanding) -> str:
    """Where the bare share lies when the interval leaves it open."""
    if standing.verdict is not TargetVerdict.TOO_FEW:
        return ""
    side = "short of the target" if standing.falls_short else "within the target"
    return f"; the share itself is {side}, the interval reaches across it"


def _change(change: BeforeAfter) -> Answer:
    pair = change.shares
    question = f"Did the rate differ after {date_of(change.day)} ({change.name})?"
    if not change.enough:
        least = min(pair.first.total, pair.second.total)
        sentence = f"Only {least} exposures on one side."
        return Answer(topic="change", question=question, found=Found.TOO_FEW, sentence=sentence)
    reach = (
        f"from {percent(pair.first.share)} of {pair.first.total} to {percent(pair.second.share)} "
        f"of {pair.second.total}: {100 * pair.difference:+.1f} points "
        f"({100 * pair.confidence:.1f}% interval {100 * pair.low:+.1f} to {100 * pair.high:+.1f})"
    )
    if not change.settled:
        return Answer(
            topic="change",
            question=question,
            found=Found.NO,
            sentence=f"No difference beyond chance, {reach}.",
        )
    trend = (
        "A steady trend does not explain it."
        if change.came_with_the_day
        else "A steady trend over the same time would explain it as well."
    )
    to_do = f"Keep '{change.name}', and audit again to see that it lasts."
    if pair.difference > 0:
        to_do = f"Find out what came with '{change.name}' that costs films, and mend it."
    return Answer(
        topic="change",
        question=question,
        found=Found.YES,
        sentence=f"Yes, {reach}. {trend}",
        actions=(to_do,),
    )


def _unnamed(told: Audit) -> Answer:
    named = bool(told.changes)
    question = f"Did the rate change on {'another' if named else 'some'} day?"
    if len(told.weeks.starts) < 8:
        sentence = "The record has fewer than eight weeks with exposures."
        return Answer(
            topic="unnamed change", question=question, found=Found.TOO_FEW, sentence=sentence
        )
    if not told.points:
        sentence = "Nothing beyond chance between the weeks."
        return Answer(topic="unnamed change", question=question, found=Found.NO, sentence=sentence)
    said = "; ".join(_point_words(point) for point in told.points)
    days = ", ".join(date_of(point.day) for point in told.points)
    return Answer(
        topic="unnamed change",
        question=question,
        found=Found.YES,
        sentence=f"Yes: {said}.",
        actions=(f"Ask what was different from {days} on, and note it as a change.",),
    )


def _point_words(point: ChangePoint) -> str:
    pair = point.shares
    return (
        f"about the week of {date_of(point.day)} (between {date_of(point.first_day)} and "
        f"{date_of(point.last_day)}), from {percent(pair.first.share)} to "
        f"{percent(pair.second.share)}"
    )


def _drift(told: Audit) -> Answer:
    question = "Has the rate drifted from where the record began?"
    watch = told.drift
    if watch is None:
        sentence = "The record has fewer than twelve weeks with exposures."
        return Answer(topic="drift", question=question, found=Found.TOO_FEW, sentence=sentence)
    signals = [
        (signal, began, way)
        for signal, began, way in (
            (watch.cusum.signal_up, watch.cusum.began_up, "upward"),
            (watch.cusum.signal_down, watch.cusum.began_down, "downward"),
        )
        if signal is not None and began is not None
    ]
    start = f"from {percent(watch.usual)} in the first {watch.reference} weeks"
    if not signals:
        sentence = f"No drift beyond chance {start}."
        return Answer(topic="drift", question=question, found=Found.NO, sentence=sentence)
    weeks = told.weeks.starts[watch.reference :]
    said = "; ".join(
        f"{way} {start}, beginning about {date_of(int(weeks[began]))}, "
        f"sure by {date_of(int(weeks[signal]))}"
        for signal, began, way in signals
    )
    return Answer(topic="drift", question=question, found=Found.YES, sentence=f"Yes: {said}.")


def _operators(told: Audit) -> Answer:
    question = "Does any operator differ from the others more than chance explains?"
    enough = [o for o in told.funnel.operators if o.enough]
    few = len(told.funnel.operators) - len(enough)
    left_out = f" {few} with too few exposures are not judged." if few else ""
    if len(enough) < 2:
        sentence = f"Fewer than two operators have enough exposures.{left_out}"
        return Answer(topic="operators", question=question, found=Found.TOO_FEW, sentence=sentence)
    beyond = [o for o in enough if o.beyond]
    if not beyond:
        return Answer(
            topic="operators",
            question=question,
            found=Found.NO,
            sentence=f"None of {len(enough)}, with like work set against like.{left_out}",
        )
    said = "; ".join(
        f"{o.label}: most likely {percent(o.likely_rate)} ({100 * o.low:.1f} to {percent(o.high)})"
        for o in beyond
    )
    names = ", ".join(o.label for o in beyond)
    return Answer(
        topic="operators",
        question=question,
        found=Found.YES,
        sentence=f"{len(beyond)} of {len(enough)}: {said}.{left_out}",
        actions=(
            f"Look at the films of {names} together, in private, before anything is concluded.",
        ),
    )


def _aims(told: Audit) -> list[Answer]:
    question = "Does anybody aim or place steadily off?"
    if not told.aims:
        sentence = "No exposure of this record has an assessment of its aim."
        return [Answer(topic="aim", question=question, found=Found.TOO_FEW, sentence=sentence)]
    off = [aim for aim in told.aims if aim.remarked]
    if not off:
        sentence = f"Nobody of {len(told.aims)} by more than is worth a remark."
        return [Answer(topic="aim", question=question, found=Found.NO, sentence=sentence)]
    return [
        Answer(
            topic="aim",
            question=question,
            found=Found.YES,
            sentence=f"{len(off)} of {len(told.aims)}: {', '.join(aim.label for aim in off)}.",
            actions=tuple(f"{aim.label}: {advice(aim)}" for aim in off),
        )
    ]


def _faults(told: Audit) -> list[Answer]:
    question = "Which faults cost most films?"
    if not told.faults:
        sentence = "No fault is noted on a rejected exposure."
        return [Answer(topic="faults", question=question, found=Found.TOO_FEW, sentence=sentence)]
    few = [fault for k, fault in enumerate(told.faults) if k == 0 or _before(told, k) < 0.75]
    said = ", ".join(f"{fault_title(f.label)} {percent(f.among_faults.share)}" for f in few)
    begin = (
        f"Begin with {fault_title(few[0].label)}: a checklist or guide at the moment of exposure "
        "has moved real films, a talk alone has not."
    )
    return [
        Answer(
            topic="faults",
            question=question,
            found=Found.NOTED,
            sentence=f"{said}: together {percent(few[-1].cumulative)} of the faults on rejects.",
            actions=(begin,),
        )
    ]


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
            sentence=f"{share_words(share)} of the retakes whose outcome is known.",
        )
    ]


__all__ = [
    "FOUND_SIGNS",
    "Answer",
    "Found",
    "actions",
    "audit_answers",
    "percent",
    "reaudit_size",
    "share_words",
]

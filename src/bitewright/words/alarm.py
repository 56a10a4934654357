"""What is said first where very many films are of no use."""

from collections.abc import Sequence
from dataclasses import dataclass

from bitewright.audit.alarm import alarming_grade, is_alarming
from bitewright.audit.counted_by import Event
from bitewright.audit.expected_rates import ExpectedRate
from bitewright.audit.faults import FaultCount
from bitewright.audit.proportions import Share
from bitewright.audit.targets import TargetStanding
from bitewright.audit.whole_audit import Audit
from bitewright.quality.rating_schemes import RatingScheme
from bitewright.words.answer import Answer, Found
from bitewright.words.log_titles import fault_title
from bitewright.words.phrases import counted
from bitewright.words.rates import interval_words, percent

HEADING = "Alarm: "
PASSIVE = {Event.REJECT: "rejected", Event.RETAKE: "retakes"}
EVERY = ((3 / 4, "three films in four"), (1 / 2, "every second film"), (1 / 3, "every third film"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Alarm:
    """What stands above all else: a heading, the figures, and what to do at once.

    ``at_least``: how often at least, chance allowed for; it stands among the figures, too.
    """

    heading: str
    at_least: str
    figures: str
    steps: tuple[str, ...]


def alarm_of(told: Audit) -> Alarm | None:
    """The alarm of an audit; None where there is none."""
    return alarm_words(
        told.overall,
        told.standings,
        told.settings.scheme,
        event=told.settings.event,
        expected=told.expected,
        faults=told.faults,
    )


def alarm_answers(told: Audit) -> tuple[Answer, ...]:
    """The alarm as the first of the answers, with what to do at once; nothing where none is."""
    alarm = alarm_of(told)
    if alarm is None:
        return ()
    return (
        Answer(
            topic="alarm",
            question="Can work go on as usual?",
            found=Found.ALARM,
            sentence=f"No: {alarm.heading.removeprefix(HEADING)}. {alarm.at_least} {WITHOUT_USE} "
            "What to do at once stands first in the list of what to do.",
            actions=alarm.steps,
        ),
    )


def alarm_words(
    overall: Share,
    standings: Sequence[TargetStanding],
    scheme: RatingScheme,
    *,
    event: Event,
    expected: ExpectedRate | None,
    faults: Sequence[FaultCount],
) -> Alarm | None:
    """The alarm of a rate or, where it gives none, of the failing grade; None without either."""
    if is_alarming(overall):
        return Alarm(
            heading=f"{HEADING}{overall.count} of {overall.total} films were {PASSIVE[event]}",
            at_least=_at_least(overall),
            figures=f"{_figures(overall)}{_published(overall, expected)} {WITHOUT_USE}",
            steps=_steps(overall, PASSIVE[event], faults if event is Event.REJECT else ()),
        )
    failing = alarming_grade(standings, scheme)
    if failing is None:
        return None
    share, graded = failing.share, f"of grade {failing.grade} ({scheme.title})"
    return Alarm(
        heading=f"{HEADING}{share.count} of {share.total} films were {graded}",
        at_least=_at_least(share),
        figures=f"{_figures(share)} Aimed at are at most {failing.target:.0%}. {WITHOUT_USE}",
        steps=_steps(share, f"of grade {failing.grade}", ()),
    )


WITHOUT_USE = "Such films exposed patients without answering their question."


def _figures(share: Share) -> str:
    return (
        f"{percent(share.share)}, {100 * share.confidence:.0f}% interval {interval_words(share)}. "
        f"{_at_least(share)}"
    )


def _at_least(share: Share) -> str:
    least = next((words for limit, words in EVERY if share.low > limit), "every fourth film")
    few = "More than" if share.enough else "Too few films to rely on the rate, yet more than"
    return f"{few} {least}, chance allowed for."


def _published(share: Share, expected: ExpectedRate | None) -> str:
    if expected is None or share.low <= expected.rate:
        return ""
    return f" Others published {expected.rate:.2%} for {expected.kind} ({expected.year})."


def _steps(share: Share, passive: str, faults: Sequence[FaultCount]) -> tuple[str, ...]:
    """What to do at once: common practice, no source."""
    commonest = ""
    if faults:
        first = faults[0]
        count, total = first.among_exposures.count, first.among_exposures.total
        commonest = f" Noted most often: {fault_title(first.label)}, on {count} of the {total}."
    last = min(10, share.count)
    return (
        (
            f"Stop and look now, before all else: {share.count} of {share.total} films were "
            f"{passive}. Tell the person responsible and the adviser on radiation protection "
            "today; they decide how work goes on."
        ),
        (
            f"Today, lay the last {counted(last, 'such film')} side by side and look for what they "
            f"share: a fault, a view, a room, a receptor, a tube.{commonest}"
        ),
        (
            "Until it is settled, look at each film with whoever took it before the next is "
            "exposed; whether one is taken again is decided for that patient, never by habit."
        ),
    )


__all__ = ["Alarm", "alarm_answers", "alarm_of", "alarm_words"]

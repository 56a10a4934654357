"""Whether the rate changed: on a day that was named, on another, or slowly."""

from bitewright.audit.dated_change import BeforeAfter
from bitewright.audit.groupings import date_of
from bitewright.audit.unexplained_change import ChangePoint
from bitewright.audit.whole_audit import Audit, ChangeView
from bitewright.words.answer import Answer, Found
from bitewright.words.audit_figures import first_weeks_words
from bitewright.words.cannot_tell import about_change, about_named_change, about_no_change
from bitewright.words.phrases import capital, counted, listed, noun
from bitewright.words.rates import percent


def dated_change(told: Audit | ChangeView, change: BeforeAfter) -> Answer:
    """Whether the rate differs before and after a day that was named."""
    pair = change.shares
    question = f"Did the rate differ after {date_of(change.day)} ({change.name})?"
    if not change.enough:
        least = min(pair.first.total, pair.second.total)
        sentence = f"Only {counted(least, 'exposure')} on one side."
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
            sentence=f"No difference beyond chance, {reach}.{_beside_courses(change)}",
            cannot_tell=about_no_change(),
        )
    trend = (
        "A steady trend does not explain it."
        if change.came_with_the_day
        else "A steady trend over the same time would explain it as well."
    )
    to_do = f"Keep '{change.name}', and audit again to see that it lasts."
    if pair.difference > 0:
        to_do = (
            f"Find out what came with '{change.name}' that spoils films, and put it right: lay "
            f"rejected films from before and after {date_of(change.day)} side by side."
        )
    return Answer(
        topic="change",
        question=question,
        found=Found.YES,
        sentence=f"Yes, {reach}.{_beside_courses(change)} {trend}",
        actions=(to_do,),
        cannot_tell=about_named_change(told, change.name),
    )


def _beside_courses(change: BeforeAfter) -> str:
    """The step with seasons and learning taken out, which then decides."""
    step = change.beside_courses
    if step is None:
        return ""
    return (
        f" With what is allowed for taken out, the odds are {step.odds_ratio:.2f} times as high "
        f"({step.low:.2f} to {step.high:.2f})."
    )


def unnamed_change(told: Audit | ChangeView) -> Answer:
    """Whether the rate changed on a day that nobody named."""
    named = bool(told.changes)
    question = f"Did the rate change on {'another' if named else 'some'} day?"
    if len(told.weeks.starts) < 8:
        sentence = "The record has fewer than eight weeks with exposures."
        return Answer(
            topic="unnamed change", question=question, found=Found.TOO_FEW, sentence=sentence
        )
    if not told.points:
        sentence = "No change beyond chance between the weeks."
        return Answer(
            topic="unnamed change",
            question=question,
            found=Found.NO,
            sentence=sentence,
            cannot_tell=about_no_change(),
        )
    said = "; ".join(_point_words(point) for point in told.points)
    return Answer(
        topic="unnamed change",
        question=question,
        found=Found.YES,
        sentence=f"Yes: {said}.",
        actions=(
            (
                f"{_what_happened(told)}: ask what was different from then on (people, receptors, "
                "holders, rooms, who grades), keep what is better and put right what is worse. "
                f"Then audit again with {noun(len(told.points), 'the', 'each')} day and what it "
                "was (`--change DAY=WHAT`, or on the page Audit)."
            ),
        ),
        cannot_tell=about_change(told),
    )


def _what_happened(told: Audit | ChangeView) -> str:
    """Which way the rate went about each week in which it changed."""
    said = []
    for way, is_up in (("rose", True), ("fell", False)):
        days = [date_of(each.day) for each in told.points if (each.shares.difference > 0) is is_up]
        if days:
            said.append(f"{way} about {noun(len(days), 'the week', 'the weeks')} of {listed(days)}")
    return f"{capital(told.settings.event.value)}s {listed(said)}"


def _point_words(point: ChangePoint) -> str:
    pair = point.shares
    return (
        f"about the week of {date_of(point.day)} (between {date_of(point.first_day)} and "
        f"{date_of(point.last_day)}), from {percent(pair.first.share)} to "
        f"{percent(pair.second.share)}"
    )


def slow_drift(told: Audit | ChangeView) -> Answer:
    """Whether the rate crept away from where it began."""
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
    start = (
        f"from {first_weeks_words(watch)} in the first {counted(watch.reference, 'week')} with "
        "films"
    )
    if not signals:
        sentence = f"No drift beyond chance {start}."
        return Answer(
            topic="drift",
            question=question,
            found=Found.NO,
            sentence=sentence,
            cannot_tell=about_no_change(),
        )
    weeks = told.weeks.starts[watch.reference :]
    said = "; ".join(
        f"{way} {start}, beginning about {date_of(int(weeks[began]))}, "
        f"sure by {date_of(int(weeks[signal]))}"
        for signal, began, way in signals
    )
    return Answer(
        topic="drift",
        question=question,
        found=Found.YES,
        sentence=f"Yes: {said}.",
        actions=tuple(_look_since(way, date_of(int(weeks[began]))) for _, began, way in signals)
        if _only_a_drift(told)
        else (),
        cannot_tell=about_change(told),
    )


def _only_a_drift(told: Audit | ChangeView) -> bool:
    """Whether no change was found that already asks what happened."""
    return not told.points and not any(change.settled for change in told.changes)


def _look_since(way: str, day: str) -> str:
    if way == "upward":
        return (
            f"Lay the rejected films from the week of {day} on beside those before it: which "
            "fault, view, room or receptor has become more frequent?"
        )
    return f"Ask what has become better since the week of {day}, and keep it."


__all__ = ["dated_change", "slow_drift", "unnamed_change"]

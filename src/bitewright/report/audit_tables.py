"""The tables of an audit that have no chart."""

from collections.abc import Sequence

from bitewright.audit.groupings import date_of
from bitewright.audit.whole_audit import Audit
from bitewright.report.figure import Figure
from bitewright.words.audit_answers import Answer
from bitewright.words.verdicts import TARGET_WORDS


def changes_table(told: Audit) -> Figure | None:
    """Before and after each named change; None without one."""
    if not told.changes:
        return None
    rows = []
    for change in told.changes:
        pair, step = change.shares, change.step
        trend = (
            "too few weeks"
            if step is None
            else f"odds x {step.odds_ratio:.2f} ({step.low:.2f} to {step.high:.2f})"
        )
        known = pair.first.total and pair.second.total
        difference = (
            (
                f"{100 * pair.difference:+.1f} points",
                f"{100 * pair.low:+.1f} to {100 * pair.high:+.1f}",
            )
            if known
            else ("", "")
        )
        rows.append(
            (
                change.name,
                date_of(change.day),
                _share(pair.first.count, pair.first.total),
                _share(pair.second.count, pair.second.total),
                *difference,
                trend,
            )
        )
    confidence = told.changes[0].shares.confidence
    return Figure(
        name="changes",
        title="Before and after",
        says=f"Intervals at {100 * confidence:.1f}% (Newcombe), widened for variation between "
        "weeks. The step has a steady trend taken out, at 95%.",
        drawing=None,
        header=("change", "date", "before", "after", "difference", "interval", "step at the day"),
        rows=tuple(rows),
        shown=True,
    )


def targets_table(told: Audit) -> Figure | None:
    """Grades against their targets; None where nothing is rated."""
    if not any(standing.share.total for standing in told.standings):
        return None
    return Figure(
        name="targets",
        title=f"Targets: {told.settings.scheme.in_full}",
        says="A target is met or missed only where the whole interval lies on one side of it.",
        drawing=None,
        header=("grade", "target", "images", "share", "95% interval", "verdict"),
        rows=tuple(
            (
                standing.grade,
                f"{'at least' if standing.at_least else 'at most'} {standing.target:.0%}",
                f"{standing.share.count} of {standing.share.total}",
                f"{standing.share.share:.1%}",
                f"{100 * standing.share.low:.1f} to {standing.share.high:.1%}",
                TARGET_WORDS[standing.verdict],
            )
            for standing in told.standings
        ),
        shown=True,
    )


def answers_table(answers: Sequence[Answer]) -> Figure:
    """The page of answers as data."""
    return Figure(
        name="answers",
        title="Answers",
        says="",
        drawing=None,
        header=("topic", "question", "found", "answer", "actions"),
        rows=tuple(
            (a.topic, a.question, a.found.value, a.sentence, " ".join(a.actions)) for a in answers
        ),
    )


def _share(count: int, total: int) -> str:
    return f"{count} of {total} ({count / total:.1%})" if total else "none"


__all__ = ["answers_table", "changes_table", "targets_table"]

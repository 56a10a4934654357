"""The tables of an audit that have no chart."""

from collections.abc import Sequence

from bitewright.audit.groupings import date_of
from bitewright.audit.rates import RateTable
from bitewright.audit.whole_audit import Audit, ChangeView
from bitewright.report.figure import Figure
from bitewright.words.answer import Answer
from bitewright.words.audit_figures import (
    changes_words,
    counts_words,
    difference_words,
    side_words,
    step_words,
    targets_words,
)
from bitewright.words.verdicts import TARGET_WORDS


def changes_table(told: Audit | ChangeView) -> Figure | None:
    """Before and after each named change; None without one."""
    if not told.changes:
        return None
    words = changes_words(told.changes[0].shares.confidence)
    return Figure(
        name="changes",
        title=words.title,
        says=words.says,
        drawing=None,
        header=("change", "date", "before", "after", "difference", "interval", "step that day"),
        rows=tuple(
            (
                change.name,
                date_of(change.day),
                side_words(change.shares.first),
                side_words(change.shares.second),
                *difference_words(change),
                step_words(change),
            )
            for change in told.changes
        ),
        shown=True,
    )


def targets_table(told: Audit) -> Figure | None:
    """Grades against their targets; None where nothing is rated."""
    if not any(standing.share.total for standing in told.standings):
        return None
    words = targets_words(told.settings.scheme.in_full)
    return Figure(
        name="targets",
        title=words.title,
        says=words.says,
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


def counts_table(table: RateTable) -> Figure:
    """Groups of which none is large enough for a rate: their counts."""
    words = counts_words(table)
    return Figure(
        name=f"rates-by-{table.name}",
        title=words.title,
        says=words.says,
        drawing=None,
        header=(table.name, f"{table.event.value}s", "exposures"),
        rows=tuple(
            (label, share.count, share.total)
            for label, share in zip(table.labels, table.shares, strict=True)
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
            (a.topic, a.question, a.found.value, a.whole, " ".join(a.actions)) for a in answers
        ),
    )


__all__ = ["answers_table", "changes_table", "counts_table", "targets_table"]

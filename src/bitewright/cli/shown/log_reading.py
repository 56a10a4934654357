"""Exposures as they stand for people, and how they came to stand so."""

from rich.table import Table

from bitewright.cli.screen import console
from bitewright.cli.shown.log import field_words, shown_fields
from bitewright.log.fields import KINDS
from bitewright.tasks.log.read_log import ExposureHistory, LogList
from bitewright.words.log import entry_words, listed_words
from bitewright.words.log_titles import field_title
from bitewright.words.stores import left_out

COLUMNS = ("day", "case", "operator", "view", "kind", "faults", "decision")
WHOLE = frozenset({"day", "kind", "decision"})


def show_list(answer: LogList) -> None:
    """Print a list of exposures."""
    table = Table(box=None, pad_edge=False)
    table.add_column("number", justify="right")
    for heading in COLUMNS:
        table.add_column(heading, overflow="fold", no_wrap=heading in WHOLE)
    for each in answer.exposures:
        state = {name: value for name, value in each.state.items() if value != KINDS[0]}
        cells = [field_words(name, state[name], {}) if name in state else "" for name in COLUMNS]
        table.add_row(str(each.number), *cells)
    out = console()
    out.print(table, markup=False)
    said = listed_words(
        listed=len(answer.exposures),
        found=answer.found,
        rejected=answer.rejected,
        undecided=answer.undecided,
    )
    out.print(f"\n{said}")
    if answer.damaged:
        out.print(left_out(answer.damaged), style="red", markup=False)


def show_history(answer: ExposureHistory) -> None:
    """Print one exposure and every entry about it."""
    out = console()
    first = answer.entries[0]
    heading = f"[bold]Exposure {first.number}[/bold], key {first.entry.key}"
    out.print(heading)
    out.print(shown_fields(answer.state, answer.people))
    out.print("\n[bold]History[/bold]")
    for each in answer.entries:
        entry = each.entry
        by = field_words("operator", entry.written_by, answer.people) if entry.written_by else "?"
        out.print(entry_words(each, by=by), markup=False)
        if entry.about is not None:
            for name, value in entry.body.items():
                words = field_words(name, value, answer.people)
                out.print(f"    {field_title(name)} -> {words}", markup=False)


__all__ = ["show_history", "show_list"]

"""The log for people: what was recorded, lists of exposures, and how each came to stand so."""

from collections.abc import Mapping
from typing import Any

from rich.table import Table

from bitewright.cli.screen import caution, console
from bitewright.tasks.log.record_exposure import Recorded
from bitewright.words.log import recorded_words
from bitewright.words.log_titles import field_title, field_value_title

PEOPLE = ("operator", "supervisor", "decided_by")


def show_recorded(answer: Recorded) -> None:
    """Print what was recorded."""
    out = console()
    done = recorded_words(answer.act, answer.number, added=answer.added)
    out.print(f"[bold]{done}[/bold], key {answer.key}")
    out.print(shown_fields(answer.state, {}))
    out.print(f"Store: {answer.store}", style="dim", markup=False)
    out.print(caution())


def shown_fields(state: Mapping[str, Any], people: Mapping[str, str]) -> Table:
    """An exposure's fields, one a line; a code with the name it stands for, where one is kept."""
    table = Table(box=None, pad_edge=False, show_header=False)
    table.add_column("field", style="dim")
    table.add_column("value", overflow="fold")
    for name, value in state.items():
        table.add_row(field_title(name), field_words(name, value, people))
    return table


def field_words(name: str, value: Any, people: Mapping[str, str]) -> str:  # noqa: ANN401
    """A field's value for a person to read."""
    if value is None:
        return "(taken away)"
    text = field_value_title(name, value)
    return f"{text} ({people[text]})" if name in PEOPLE and text in people else text


__all__ = ["field_words", "show_recorded", "shown_fields"]

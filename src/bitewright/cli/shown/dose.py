"""Settings and dose by view for people."""

from rich.table import Table

from bitewright.cli.screen import console
from bitewright.tasks.audit.audit_dose import DoseAnswer
from bitewright.words.dose import HEADINGS, TITLE


def show(told: DoseAnswer) -> None:
    """Print the table and what is said beside it."""
    table = Table(title=TITLE, title_justify="left", box=None, pad_edge=False)
    for heading in HEADINGS:
        table.add_column(heading, overflow="fold")
    for row in told.cells():
        table.add_row(*row)
    screen = console()
    screen.print(table)
    for sentence in told.sentences():
        screen.print(sentence)


__all__ = ["show"]

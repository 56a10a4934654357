"""`bitewright audit gates`: odds stated before another exposure, and what came of them."""

import typer
from rich.table import Table

from bitewright.cli import options
from bitewright.cli.log_options import StoreOption
from bitewright.cli.screen import caution, console, print_json

EXAMPLE = "bitewright audit gates"


def add_to(group: typer.Typer) -> None:
    """Register the command."""
    group.command(name="gates", epilog=f"Example:\n\n{EXAMPLE}")(gates)


def gates(store: StoreOption = None, *, as_json: options.AsJson = False) -> None:
    """Tell of decisions before another exposure: odds stated, and how often places were won."""
    from bitewright.tasks.audit.audit_gates import audit_gates
    from bitewright.words.gate_outcomes import GATES_HEADINGS

    answer = audit_gates(store)
    if as_json:
        print_json(answer.document())
        return
    out = console()
    for sentence in answer.sentences:
        out.print(sentence, markup=False)
    if answer.cells:
        table = Table(box=None, pad_edge=False)
        for number, heading in enumerate(GATES_HEADINGS):
            table.add_column(heading, justify="right" if number else "left")
        for row in answer.cells:
            table.add_row(*row)
        out.print()
        out.print(table)
    out.print()
    out.print(caution())


__all__ = ["add_to", "gates"]

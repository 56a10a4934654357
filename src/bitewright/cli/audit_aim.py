"""`bitewright audit aim`: how each operator aims, and the Scatter file that planning takes."""

from pathlib import Path
from typing import Annotated

import typer
from rich.table import Table

from bitewright.cli import audit_options as asked
from bitewright.cli import options
from bitewright.cli.option_groups import grouped
from bitewright.cli.screen import caution, console, print_json

EXAMPLE = "bitewright audit aim --operator student-07 --scatter student-07.json"


def add_to(group: typer.Typer) -> None:
    """Register the command."""
    group.command(name="aim", epilog=f"Example:\n\n{EXAMPLE}")(grouped(aim))


def aim(
    record: asked.RecordOptions,
    operator: Annotated[
        str | None, typer.Option(help="One operator by code; all of them if left out.")
    ] = None,
    scatter: Annotated[
        Path | None, typer.Option(help="Write that operator's Scatter file here (.json).")
    ] = None,
    as_json: options.AsJson = False,
) -> None:
    """Tell how each operator aims and places, with intervals and one sentence of advice."""
    from bitewright.tasks.audit.learn_operator_aim import learn_operator_aim
    from bitewright.words.aim import mean_words, perhaps_off, the_others
    from bitewright.words.titles import AIM_PARTS
    from bitewright.words.written import written_to

    request = asked.request_of(record)
    found = learn_operator_aim(request, operator=operator, scatter_file=scatter)
    if as_json:
        print_json(found.document())
        return
    screen = console()
    shown = Table(box=None, pad_edge=False)
    for heading in ("operator", "assessed", *AIM_PARTS.values()):
        shown.add_column(heading, justify="left" if heading == "operator" else "right")
    for each in found.aims:
        shown.add_row(
            each.label,
            str(each.assessed),
            *(mean_words(part) for part in each.parts),
        )
    screen.print(shown)
    screen.print()
    for each, sentence in zip(found.aims, found.advice, strict=True):
        if operator is not None or each.remarked or perhaps_off(each):
            screen.print(f"{each.label}: {sentence}", markup=False)
    if operator is None and (others := the_others(found.aims)):
        screen.print(others)
    if found.written is not None:
        screen.print(written_to("Scatter", found.written), soft_wrap=True)
    screen.print()
    screen.print(caution())


__all__ = ["add_to", "aim"]

"""`bitewright mouth`: write, check and describe a mouth."""

from pathlib import Path
from typing import Annotated

import typer

from bitewright.cli import options
from bitewright.cli.screen import print_json

EXAMPLE = "bitewright mouth --write my-mouth.toml"


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command(name="mouth", epilog=f"Example:\n\n{EXAMPLE}")(mouth_command)


def mouth_command(
    mouth: options.MouthFile = None,
    write: Annotated[
        Path | None, typer.Option(help="Write the whole description here (TOML), to edit.")
    ] = None,
    as_json: options.AsJson = False,
) -> None:
    """Show a mouth's contacts, the direction in which each is open, and what its teeth carry."""
    from bitewright.cli.shown.mouth import show
    from bitewright.tasks.catalogue.describe_mouth import describe_mouth, write_mouth
    from bitewright.tasks.catalogue.named import mouth_from

    answer = describe_mouth(mouth_from(mouth))
    if write is not None:
        write_mouth(write, answer.mouth)
    if as_json:
        print_json(answer.document())
    else:
        show(answer, written=write)


__all__ = ["add_to", "mouth_command"]

"""`bitewright mouth`: write, check and describe a mouth."""

from pathlib import Path
from typing import Annotated

import typer
from rich.table import Table

from bitewright.cli import options
from bitewright.cli.tables import console, print_json
from bitewright.tasks.catalogue.describe_mouth import MouthSummary, describe_mouth, write_mouth
from bitewright.tasks.catalogue.named import mouth_from
from bitewright.words.mouths import mouth_words, open_words
from bitewright.words.written import written_to

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
    answer = describe_mouth(mouth_from(mouth))
    if write is not None:
        write_mouth(write, answer.mouth)
    if as_json:
        print_json(answer.document())
    else:
        show(answer, written=write)


def show(answer: MouthSummary, *, written: Path | None) -> None:
    """Print a mouth for people, and where it was written."""
    out = console()
    said = mouth_words(len(answer.outlines.codes), answer.mouth.age_years)
    out.print(f"[bold]{answer.mouth.name}[/bold]: {said}\n")
    table = Table(title="Contacts", title_justify="left", box=None, pad_edge=False)
    for heading in ("contact", "open with the tube", "facet mm", "gap mm", "enamel mm"):
        table.add_column(heading)
    for site in answer.outlines.sites:
        table.add_row(
            site.name,
            open_words(site.open_azimuth_deg),
            f"{site.facet_width_mm:.1f}",
            f"{site.gap_mm:.2f}",
            f"{site.enamel_mm:.2f}",
        )
    out.print(table)
    if answer.lines:
        out.print("\n[bold]Teeth[/bold]")
        for code, line in answer.lines.items():
            out.print(f"{code}  {line}")
    if written is not None:
        out.print(f"\n{written_to('Description', written)}")


__all__ = ["add_to", "mouth_command"]

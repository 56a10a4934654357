"""`bitewright sheet`: everything a film can show, on one sheet."""

from pathlib import Path
from typing import Annotated

import typer

from bitewright.cli.screen import caution, console

EXAMPLE = "bitewright sheet --out sheet.png"


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command(name="sheet", epilog=f"Example:\n\n{EXAMPLE}")(sheet)


def sheet(
    out: Annotated[Path, typer.Option(help="Picture to write (.png).")] = Path("sheet.png"),
) -> None:
    """Film drawn mouths, receptor kinds, faults, fillings and lesions on one contact sheet."""
    from bitewright.tasks.film.make_sheet import check_sheet, make_sheet, write_sheet
    from bitewright.words.contact_sheet import sheet_written

    check_sheet(out)
    screen = console()
    with screen.status("Filming") as status:
        made = make_sheet(told=lambda caption: status.update(f"Filming: {caption}"))
    write_sheet(out, made)
    screen.print(sheet_written(out, made.films, made.surfaces))
    screen.print(caution())


__all__ = ["add_to"]

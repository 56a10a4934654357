"""`bitewright propose`: marks proposed by the trained network."""

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from bitewright.cli import options
from bitewright.cli.progress import told_on
from bitewright.cli.screen import print_json

EXAMPLE = "bitewright propose films --receptor plate-2"


class FilmSide(StrEnum):
    """Whose marks are proposed."""

    RIGHT = "right"
    LEFT = "left"


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command(name="propose", epilog=f"Example:\n\n{EXAMPLE}")(propose_command)


def propose_command(
    *,
    films: Annotated[
        list[Path], typer.Argument(help="Films (PNG, TIFF, JPEG or DICOM), or folders of them.")
    ],
    receptor: Annotated[
        str | None,
        typer.Option(help="Receptor by name; gives the pixel size where the film does not."),
    ] = None,
    side: Annotated[
        FilmSide | None,
        typer.Option(help="The patient's side; from the mounting if left out."),
    ] = None,
    mirrored: Annotated[
        bool,
        typer.Option("--mirrored", help="Shown the other way round than seen from the tube."),
    ] = False,
    absent: Annotated[
        list[int] | None,
        typer.Option(help="Tooth that is missing (ISO 3950); may be given several times."),
    ] = None,
    equipment: options.EquipmentFiles = None,
    out: Annotated[
        Path | None,
        typer.Option(help="Folder for the marks files; beside each film if left out."),
    ] = None,
    as_json: options.AsJson = False,
) -> None:
    """Propose the marks of films, for a person to check; simulated films taught it."""
    from bitewright.cli.shown.propose import show
    from bitewright.mouth.numbering import Side
    from bitewright.tasks.catalogue.named import equipment as known_equipment
    from bitewright.tasks.propose.propose_films import propose_films
    from bitewright.tasks.propose.propose_marks import Known

    told = Known(
        receptor=receptor,
        side=None if side is None else Side(side.value),
        mirrored=mirrored,
        absent_teeth=tuple(absent or ()),
    )
    with told_on("Looking at films") as (begin, expect):
        answer = propose_films(
            films, known_equipment(equipment or ()), told, out=out, begin=begin, expect=expect
        )
    if as_json:
        print_json(answer.document())
    else:
        show(answer)
    if not any(each.written for each in answer.films):
        raise typer.Exit(1)


__all__ = ["add_to", "propose_command"]

"""`bitewright marks`: begin a marks file."""

from pathlib import Path
from typing import Annotated

import typer

from bitewright.cli import options

EXAMPLE = "bitewright marks new film.png --view right-premolar --out mine.marks.json"

marks_app = typer.Typer(
    name="marks", help="Begin a marks file: what to mark on a film.", no_args_is_help=True
)


def add_to(app: typer.Typer) -> None:
    """Register the commands."""
    marks_app.command(name="new", epilog=f"Example:\n\n{EXAMPLE}")(new)
    app.add_typer(marks_app)


def new(
    image: Annotated[Path, typer.Argument(help="Film: PNG, TIFF, JPEG or DICOM, 8 or 16 bits.")],
    view: options.View,
    receptor: Annotated[
        str | None,
        typer.Option(help="Receptor by name; gives the pixel size where the film does not."),
    ] = None,
    absent: Annotated[
        list[int] | None,
        typer.Option(help="Tooth that is missing (ISO 3950); may be given several times."),
    ] = None,
    equipment: options.EquipmentFiles = None,
    out: Annotated[
        Path | None,
        typer.Option(help="File to write; beside the film, ending .marks.json, if left out."),
    ] = None,
) -> None:
    """Write an empty marks file for a film, and list what to mark, in order."""
    from bitewright.cli.shown.marks import show
    from bitewright.tasks.assess.decoded_film import read_film
    from bitewright.tasks.assess.new_marks import new_marks
    from bitewright.tasks.catalogue.named import equipment as known_equipment

    if receptor is not None:
        known_equipment(equipment or ()).receptor(receptor)
    answer = new_marks(
        image,
        read_film(image),
        of_view=view,
        receptor=receptor,
        absent_teeth=tuple(absent or ()),
        path=out,
    )
    show(answer)


__all__ = ["add_to", "marks_app"]

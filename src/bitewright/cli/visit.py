"""`bitewright visit`: what the films of a visit show together, and what none does."""

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from bitewright.cli import options
from bitewright.cli.screen import console, print_json
from bitewright.quality.criteria import Question

EXAMPLE = "bitewright visit right.marks.json left.marks.json --picture visit.png"


class Sides(StrEnum):
    """The sides a visit is for."""

    BOTH = "both"
    RIGHT = "right"
    LEFT = "left"


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command(name="visit", epilog=f"Example:\n\n{EXAMPLE}")(visit_command)


def visit_command(
    *,
    marks: Annotated[
        list[Path], typer.Argument(help="Marks files of the films, or a folder that holds them.")
    ],
    question: options.Ask = Question.ENAMEL,
    surface: options.Surfaces = None,
    side: Annotated[Sides, typer.Option(help="The side that was wanted, or both.")] = Sides.BOTH,
    equipment: options.EquipmentFiles = None,
    picture: Annotated[
        Path | None,
        typer.Option(help="Draw both arches, every surface signed, here (.png or .svg)."),
    ] = None,
    every_place: Annotated[
        bool,
        typer.Option("--every-place", help="List also what the question does not need."),
    ] = False,
    as_json: options.AsJson = False,
) -> None:
    """Read the films of a visit together: what each shows, and what none does."""
    from bitewright.cli.shown.visit import show
    from bitewright.mouth.numbering import Side
    from bitewright.quality.questions import question_about
    from bitewright.tasks.catalogue.named import equipment as known_equipment
    from bitewright.tasks.visit.read_visit import read_visits
    from bitewright.tasks.visit.visit_picture import write_visit_pictures

    sides = tuple(each for each in Side if side is Sides.BOTH or each.value == side)
    answers = read_visits(
        marks,
        known_equipment(equipment or ()),
        question_about(question, surface or ()),
        sides=sides,
    )
    written = () if picture is None else write_visit_pictures(picture, answers)
    if as_json:
        print_json(answers.document() | {"pictures": [str(each) for each in written]})
    else:
        show(console(), answers, written, every_place=every_place)


__all__ = ["add_to", "visit_command"]

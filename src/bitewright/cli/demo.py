"""`bitewright demo`: the whole chain on an invented clinic's case."""

from pathlib import Path
from typing import Annotated

import typer

from bitewright.cli.screen import caution, console

EXAMPLE = "bitewright demo --out demo-out"


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command(name="demo", epilog=f"Example:\n\n{EXAMPLE}")(demo)


def demo(
    out: Annotated[Path, typer.Option(help="Folder for films, marks and pictures.")] = Path(
        "demo-out"
    ),
    real_image: Annotated[
        Path | None, typer.Option(help="A real film to assess as well, if you have one.")
    ] = None,
    real_marks: Annotated[Path | None, typer.Option(help="Marks of that film.")] = None,
) -> None:
    """Plan, expose 8 degrees off, explain the film, audit a year, make a set of exercises."""
    from bitewright.cli.shown.assess import show
    from bitewright.tasks.run_demo import run_demo

    screen = console()
    for step in run_demo(out, real_image=real_image, real_marks=real_marks):
        screen.print(f"[bold]{step.title}[/bold]")
        screen.print(step.story)
        if step.assessment is not None:
            show(step.assessment, step.written)
        for path in step.pictures:
            screen.print(f"  {path}")
        screen.print()
    screen.print(caution())


__all__ = ["add_to", "demo"]

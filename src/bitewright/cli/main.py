"""The command line: parse, call one task, print."""

import os
import sys
from typing import Annotated

import typer
from rich.console import Console

from bitewright import __version__
from bitewright.cli.interrupts import heed_interrupts
from bitewright.cli.on_demand import CommandsOnDemand, say_to_errors
from bitewright.errors import BitewrightError
from bitewright.words.caution import NO_MEDICAL_DEVICE

app = typer.Typer(
    name="bitewright",
    cls=CommandsOnDemand,
    help=f"Plan, assess and explain intraoral radiographs. {NO_MEDICAL_DEVICE}",
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    rich_markup_mode="markdown",
)


def _show_version(asked: bool) -> None:
    if asked:
        Console(highlight=False).print(f"bitewright {__version__}")
        raise typer.Exit


@app.callback()
def main(
    version: Annotated[  # noqa: ARG001  its callback answers
        bool,
        typer.Option(
            "--version", callback=_show_version, is_eager=True, help="Show the version and leave."
        ),
    ] = False,
) -> None:
    """Plan, assess and explain intraoral radiographs."""
    from bitewright.tasks.leftovers import sweep_leftovers

    sweep_leftovers()  # what commands that were killed left half written


INTERRUPTED = 130
"""Exit status of a command ended by Ctrl-C, as shells have it."""


def run() -> None:
    """Run the command line; a failure the user can mend is one sentence and exit status 1.

    The linear algebra library gets one thread: our matrices are small, and its further threads
    only wait for one another, on every core. It reads this when numpy is first loaded.
    """
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    is_interrupted = heed_interrupts()
    try:
        app()
    except BitewrightError as error:
        say_to_errors(str(error))
        sys.exit(1)
    except Exception:
        if is_interrupted():  # what a Ctrl-C broke off may fail in its own words
            sys.exit(INTERRUPTED)
        raise


__all__ = ["app", "run"]

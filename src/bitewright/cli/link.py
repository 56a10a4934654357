"""`bitewright link`: another link to the pages of a running server."""

from typing import Annotated

import typer

from bitewright.cli.screen import console
from bitewright.words.serving import link_words

EXAMPLE = "bitewright link\n\nbitewright link --class"


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command(name="link", epilog=f"Example:\n\n{EXAMPLE}")(give_link)


def give_link(
    for_class: Annotated[
        bool,
        typer.Option(
            "--class", help="For a class: works for many, to look and exercise, not to write."
        ),
    ] = False,
    port: Annotated[
        int | None,
        typer.Option(min=1, max=65535, help="The server's port, if several of yours run."),
    ] = None,
) -> None:
    """Give another link to the pages that `bitewright serve` shows: for a browser, or a class."""
    from bitewright.tasks.serving.ask_for_link import ask_for_link

    address = ask_for_link("class" if for_class else "own", port=port)
    screen = console()
    screen.print(address, soft_wrap=True)
    screen.print(link_words(for_class=for_class))


__all__ = ["add_to", "give_link"]

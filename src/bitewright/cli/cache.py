"""`bitewright cache`: what is kept to be quick the next time."""

from typing import Annotated

import typer

from bitewright.cli.tables import console
from bitewright.tasks.film.show_cache import cache_state, clear_cache

EXAMPLE = "bitewright cache --clear"


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command(name="cache", epilog=f"Example:\n\n{EXAMPLE}")(cache)


def cache(
    clear: Annotated[bool, typer.Option("--clear", help="Remove everything kept.")] = False,
) -> None:
    """Show where mouths built for films are kept, how many and how large; or clear them."""
    screen = console()
    if clear:
        screen.print(
            f"Removed {clear_cache()} film mouths and pieces; they are built again when needed."
        )
    state = cache_state()
    screen.print(
        f"{state.count} film mouths and pieces, {state.bytes / 1e6:.0f} MB, in {state.folder}"
    )


__all__ = ["add_to"]

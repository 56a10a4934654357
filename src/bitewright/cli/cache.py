"""`bitewright cache`: what is kept to be quick the next time."""

from typing import Annotated

import typer

from bitewright.cli.screen import console

EXAMPLE = "bitewright cache --clear"


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command(name="cache", epilog=f"Example:\n\n{EXAMPLE}")(cache)


def cache(
    clear: Annotated[bool, typer.Option("--clear", help="Remove everything kept.")] = False,
) -> None:
    """Show where mouths built for films are kept, how many and how large; or clear them."""
    from bitewright.tasks.film.show_cache import cache_state, clear_cache
    from bitewright.words.film_cache import cleared_words, kept_words

    screen = console()
    if clear:
        screen.print(cleared_words(clear_cache()))
    state = cache_state()
    screen.print(kept_words(state.count, state.bytes, state.folder))


__all__ = ["add_to"]

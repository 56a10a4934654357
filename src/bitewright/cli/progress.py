"""Long work told while it lasts, on a terminal's error stream; where none looks on, nothing."""

from collections.abc import Iterator
from contextlib import contextmanager

from rich.console import Console

from bitewright.cli.screen import console
from bitewright.steps import Begin, Expect, uncounted, unwatched

Told = tuple[Begin, Expect]
"""To be told each step that begins, and how many there will be."""


@contextmanager
def told_on(what: str, screen: Console | None = None) -> Iterator[Told]:
    """What is handed to long work so that a terminal shows its steps; they vanish at the end."""
    screen = screen or console(to_errors=True)
    if not screen.is_terminal:
        yield unwatched, uncounted
        return
    from rich.progress import (
        BarColumn,
        Progress,
        TextColumn,
        TimeElapsedColumn,
    )

    columns = TextColumn("{task.description}"), BarColumn(), TimeElapsedColumn()
    with Progress(*columns, console=screen, transient=True) as shown:
        task = shown.add_task(what, total=None, visible=False)

        def begin(doing: str) -> None:
            is_first = not shown.tasks[task].visible
            shown.update(
                task, description=f"{what}: {doing}", advance=0 if is_first else 1, visible=True
            )

        yield begin, lambda steps: shown.update(task, total=steps)


__all__ = ["Told", "told_on"]

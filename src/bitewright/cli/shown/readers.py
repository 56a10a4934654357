"""For people: how far readers of one set agree."""

from rich.table import Table

from bitewright.cli.screen import console
from bitewright.tasks.teach.compare_readers import ReadersCompared
from bitewright.words import readers as words


def show(told: ReadersCompared) -> None:
    """Print agreement by criterion, who says what more often, and what is differed on."""
    screen = console()
    screen.print(words.READERS_TITLE, style="bold")
    screen.print(f"{words.readings_words(told.readings)}.")
    for line in told.lacking:
        screen.print(line)
    for each in told.criteria:
        screen.print(f"\n{words.TITLES[each.criterion]}", style="bold")
        table = Table(box=None, pad_edge=False)
        for heading in words.HEADINGS:
            table.add_column(heading, overflow="fold")
        for row in each.rows:
            table.add_row(*row.cells)
        screen.print(table)
        for line in each.leanings:
            screen.print(line)
    screen.print(f"\n{words.DIFFER_TITLE}", style="bold")
    if not told.differing:
        screen.print(words.NOBODY_DIFFERS)
    else:
        table = Table(box=None, pad_edge=False)
        for heading in words.DIFFER_HEADINGS:
            table.add_column(heading, overflow="fold")
        for item in told.differing:
            said = "; ".join(f"{who}: {what}" for who, what in item.said)
            table.add_row(str(item.number), " or ".join(item.right), said)
        screen.print(table)
    screen.print(f"\n{words.READERS_SAY}", style="dim")


__all__ = ["show"]

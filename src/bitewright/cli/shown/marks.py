"""A new marks file for people: where it is, and what to mark in it."""

from rich.table import Table

from bitewright.cli.screen import console
from bitewright.tasks.assess.new_marks import NewMarks
from bitewright.words.landmarks import landmark_words
from bitewright.words.marking import (
    EMPTY_MARKS,
    HOW_TO_MARK,
    MARK_TITLES,
    NAME_HEADING,
    PLACE_HEADING,
    WHAT_MARKS_TELL,
    WHERE_A_MARK_GOES,
)
from bitewright.words.written import written_to


def show(answer: NewMarks) -> None:
    """Print the names to mark, in order, and where the file was written."""
    out = console()
    out.print(f"{HOW_TO_MARK} {WHAT_MARKS_TELL}\n")
    table = Table(box=None, pad_edge=False)
    for heading in (NAME_HEADING, PLACE_HEADING):
        table.add_column(heading)
    for name in answer.names:
        table.add_row(name, landmark_words(name))
    out.print(table)
    out.print()
    for kind, says in WHERE_A_MARK_GOES.items():
        out.print(f"{MARK_TITLES[kind].capitalize()}: {says}.")
    out.print(f"\n{written_to(EMPTY_MARKS, answer.path)}", soft_wrap=True)


__all__ = ["show"]

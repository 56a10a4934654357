"""Proposed marks for people: film by film, what was proposed and what is doubtful."""

from rich.table import Table

from bitewright.cli.screen import caution, console
from bitewright.tasks.propose.propose_films import ProposedFiles
from bitewright.words.proposals import (
    DOUBTFUL_HEADING,
    FILM_HEADING,
    LOOK_AT_EACH,
    MARKS_HEADING,
    PROPOSED_BY,
    PROPOSED_FILE,
    SAID_HEADING,
    SUMMARY_TITLE,
    VIEW_HEADING,
)
from bitewright.words.written import written_to


def show(answer: ProposedFiles) -> None:
    """Print the films, those that most need looking at first, and what was written."""
    out = console()
    table = Table(title=SUMMARY_TITLE, title_justify="left", box=None, pad_edge=False)
    for heading in (FILM_HEADING, VIEW_HEADING):
        table.add_column(heading)
    for heading in (MARKS_HEADING, DOUBTFUL_HEADING):
        table.add_column(heading, justify="right")
    table.add_column(SAID_HEADING)
    for each in answer.films:
        marks = None if each.proposed is None else each.proposed.marks
        said = each.sentences if marks is None else each.sentences[1:]
        table.add_row(
            each.film.name,
            "" if marks is None else marks.view,
            "" if marks is None else str(len(marks.marks)),
            "" if marks is None or each.proposed is None else str(len(each.proposed.doubtful)),
            " ".join(said),
        )
    out.print(table)
    out.print(f"\n{answer.sentence} {PROPOSED_BY} {LOOK_AT_EACH}")
    for each in answer.films:
        if each.written is not None:
            out.print(written_to(PROPOSED_FILE, each.written), soft_wrap=True)
    out.print(caution())


__all__ = ["show"]

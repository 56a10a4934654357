"""The ledger of a visit for people: the answer, the table, what was set aside."""

from collections.abc import Sequence
from pathlib import Path

from rich.console import Console
from rich.table import Table

from bitewright.cli.screen import caution
from bitewright.tasks.visit.read_visit import VisitAnswer, VisitAnswers
from bitewright.words.landmarks import landmark_title
from bitewright.words.visits import READING_SIGNS, set_aside_words, told_words
from bitewright.words.written import written_to


def show(
    out: Console, answers: VisitAnswers, written: Sequence[Path], *, every_place: bool
) -> None:
    """Print every visit, and what was written."""
    for answer in answers.visits:
        out.print(f"[bold]{answer.heading}[/bold]", markup=True)
        for sentence in answer.sentences:
            out.print(sentence, markup=False)
        out.print()
        out.print(_table(answer, every_place=every_place))
        out.print()
    for each in answers.set_aside:
        out.print(set_aside_words(each.name, each.why), style="yellow", markup=False)
    for path in written:
        out.print(written_to("Picture", path))
    out.print(caution())


def _table(answer: VisitAnswer, *, every_place: bool) -> Table:
    """What is needed, or every place, by film."""
    told, films = answer.ledger, answer.film_titles
    title = "Every place" if every_place else "Places that are needed"
    table = Table(title=title, title_justify="left", box=None, pad_edge=False)
    for heading in ("", "place", "together", *films, "best"):
        table.add_column(heading)
    for row in told.rows:
        if not row.is_needed and not every_place:
            continue
        table.add_row(
            READING_SIGNS[row.reading],
            landmark_title(row.name),
            told_words(row.reading, row.chance),
            *(told_words(cell.reading, cell.chance) for cell in row.cells),
            "" if row.best is None else films[row.best],
        )
    return table


__all__ = ["show"]

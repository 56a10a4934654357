"""The ledger of a visit for people: the answer, the table, what was set aside."""

from collections.abc import Sequence
from pathlib import Path

from rich.console import Console
from rich.table import Table

from bitewright.cli.screen import caution
from bitewright.tasks.visit.read_visit import VisitAnswer, VisitAnswers
from bitewright.visit.ledger import Reading
from bitewright.words.landmarks import landmark_title
from bitewright.words.visits import READING_SIGNS, READINGS, set_aside_words
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


def _films(answer: VisitAnswer) -> list[str]:
    """Films by their views; where two share one, with their names."""
    views = [film.view.title for film in answer.ledger.films]
    return [
        view if views.count(view) == 1 else f"{view} ({film.name})"
        for view, film in zip(views, answer.ledger.films, strict=True)
    ]


def _table(answer: VisitAnswer, *, every_place: bool) -> Table:
    """What is needed, or every place, by film."""
    told, films = answer.ledger, _films(answer)
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
            _told(row.reading, row.chance),
            *(_told(cell.reading, cell.chance) for cell in row.cells),
            "" if row.best is None else films[row.best],
        )
    return table


def _told(reading: Reading, chance: float | None) -> str:
    if reading is Reading.DOUBTFUL and chance is not None:
        return f"{READINGS[reading]} {chance:.0%}"
    return READINGS[reading]


__all__ = ["show"]

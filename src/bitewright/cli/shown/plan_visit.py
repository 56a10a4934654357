"""The plan of a visit for people: the answer, the films in order with their odds."""

from rich.console import Console
from rich.table import Table

from bitewright.cli.screen import caution
from bitewright.tasks.visit.plan_visit import VisitPlan
from bitewright.words.odds import uncertain_share
from bitewright.words.visit_plans import FILM_HEADINGS, hand_headings


def show(out: Console, made: VisitPlan) -> None:
    """Print what films a visit takes."""
    for sentence in made.sentences:
        out.print(sentence, markup=False)
    if made.films:
        table = Table(box=None, pad_edge=False)
        for heading in ("", *FILM_HEADINGS, *hand_headings(made.wish.hands)):
            table.add_column(heading)
        for number, film in enumerate(made.shown_films, start=1):
            table.add_row(
                str(number), film.film, film.places, *map(uncertain_share, film.chances.values())
            )
        out.print()
        out.print(table)
    out.print()
    out.print(made.note, markup=False)
    out.print(caution())


__all__ = ["show"]

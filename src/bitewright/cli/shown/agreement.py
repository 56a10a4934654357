"""For people: how far raters of the same images agree."""

from rich.table import Table

from bitewright.cli.screen import console
from bitewright.tasks.audit.compare_raters import RaterComparison
from bitewright.words.agreement import (
    HOW_TO_READ,
    NOT_BY_PATIENT,
    alike_words,
    kappa_figures,
    kappa_words,
    table_heading,
    together_words,
)


def show(told: RaterComparison) -> None:
    """Print each pair's agreement, all raters' together, and the tables behind."""
    screen = console()
    table = Table(box=None, pad_edge=False)
    for heading in ("raters", "images", "alike", "kappa", "weighted", "in words"):
        table.add_column(heading)
    for pair in told.pairs:
        table.add_row(
            " and ".join(pair.raters),
            str(pair.images),
            alike_words(pair.alike),
            kappa_figures(pair.kappa),
            kappa_figures(pair.weighted),
            kappa_words(pair.kappa),
        )
    screen.print(table)
    if told.together is not None:
        screen.print(together_words(told.together, told.images_together))
    for pair in told.pairs:
        screen.print(f"\n{table_heading(*pair.raters)}")
        counts = Table(box=None, pad_edge=False)
        for heading in ("", *told.grades):
            counts.add_column(heading, justify="right")
        for grade, row in zip(told.grades, pair.table, strict=True):
            counts.add_row(grade, *(str(cell) for cell in row))
        screen.print(counts)
    screen.print(f"\n{HOW_TO_READ}", style="dim")
    if not told.patients_given:
        screen.print(NOT_BY_PATIENT, style="dim")


__all__ = ["show"]

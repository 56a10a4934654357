"""Two films at recall for people: the answer, the sites, how the exposures differ."""

from pathlib import Path

from rich.console import Console
from rich.table import Table

from bitewright.cli.screen import caution
from bitewright.tasks.visit.compare_recall import RecallAnswer
from bitewright.words.landmarks import landmark_title
from bitewright.words.recalls import (
    RECALL_CAUTION,
    crest_change_words,
    differs_words,
    site_words,
)
from bitewright.words.written import written_to


def show(out: Console, answer: RecallAnswer, *, picture: Path | None, card: Path | None) -> None:
    """Print what is told of two films, and what was written."""
    for sentence in answer.sentences:
        out.print(sentence, markup=False)
    out.print()
    out.print(_sites(answer))
    out.print()
    for part, amount in answer.told.differs.items():
        out.print(f"{differs_words(part, amount)}.", markup=False)
    out.print()
    if picture is not None:
        out.print(written_to("Picture", picture))
    if card is not None:
        out.print(written_to("Card", card))
    out.print(RECALL_CAUTION)
    out.print(caution())


def _sites(answer: RecallAnswer) -> Table:
    table = Table(
        title="Crest height, junction to crest on the image, in mm",
        title_justify="left",
        box=None,
        pad_edge=False,
    )
    for heading in (
        "site",
        "later less earlier by angulation alone (90%)",
        "as marked (90%)",
        "earlier",
        "later",
        "",
    ):
        table.add_column(heading)
    for site in answer.told.sites:
        table.add_row(
            landmark_title(site.name),
            crest_change_words(site.by_angulation),
            crest_change_words(site.measured),
            f"{site.earlier_mm:.1f}",
            f"{site.later_mm:.1f}",
            site_words(site),
        )
    return table


__all__ = ["show"]

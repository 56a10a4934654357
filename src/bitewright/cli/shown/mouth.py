"""A mouth for people: its contacts, and what its teeth carry."""

from pathlib import Path

from rich.table import Table

from bitewright.cli.screen import console
from bitewright.tasks.catalogue.describe_mouth import MouthSummary
from bitewright.words.mouths import mouth_words, open_words
from bitewright.words.written import written_to


def show(answer: MouthSummary, *, written: Path | None) -> None:
    """Print a mouth for people, and where it was written."""
    out = console()
    said = mouth_words(len(answer.outlines.codes), answer.mouth.age_years)
    out.print(f"[bold]{answer.mouth.name}[/bold]: {said}\n")
    table = Table(title="Contacts", title_justify="left", box=None, pad_edge=False)
    for heading in ("contact", "open with the tube", "facet mm", "gap mm", "enamel mm"):
        table.add_column(heading)
    for site in answer.outlines.sites:
        table.add_row(
            site.name,
            open_words(site.open_azimuth_deg),
            f"{site.facet_width_mm:.1f}",
            f"{site.gap_mm:.2f}",
            f"{site.enamel_mm:.2f}",
        )
    out.print(table)
    if answer.lines:
        out.print("\n[bold]Teeth[/bold]")
        for code, line in answer.lines.items():
            out.print(f"{code}  {line}")
    if written is not None:
        out.print(f"\n{written_to('Description', written)}")


__all__ = ["show"]

"""A predicted exposure for people: how it is set, and what it shows."""

from pathlib import Path
from typing import Any

from rich.table import Table

from bitewright.cli.screen import caution, console
from bitewright.cli.shown.tables import contacts_table, edges_table, findings_table
from bitewright.tasks.plan.predict_exposure import ExposurePrediction
from bitewright.words.file_notes import TRUE_MARKS_TITLE
from bitewright.words.landmarks import landmark_title
from bitewright.words.placement import cover_words
from bitewright.words.predictions import setting_rows, shown_words
from bitewright.words.ratings import exposure_rating
from bitewright.words.written import film_written, written_to


def show(answer: ExposurePrediction, *, film: Path | None, marks: Path | None) -> None:
    """Print a prediction for people, and where its film and its marks were written."""
    out = console()
    at = answer.station
    out.print(
        f"[bold]{answer.view.title}[/bold], {at.receptor.title}, {at.holder.title}, "
        f"{at.tube.title}, {at.outlines.mouth.name}"
    )
    said = exposure_rating(answer.view.purpose, answer.grade, answer.scheme.in_full)
    out.print(f"{said} {answer.fitness}\n")
    out.print(_setting_table(answer))
    out.print()
    out.print(edges_table(answer.edges))
    out.print(cover_words(answer.beam_cover_mm))
    out.print()
    out.print(contacts_table(answer.contacts, {"ray through it": answer.beam_words}))
    out.print()
    out.print(findings_table(answer.findings))
    out.print()
    _print_structures(answer)
    if film is not None:
        out.print(film_written(film))
    if marks is not None:
        out.print(written_to(TRUE_MARKS_TITLE, marks))
    out.print(caution())


def _setting_table(answer: ExposurePrediction) -> Table:
    table = Table(title="Placement and aim", title_justify="left", box=None, pad_edge=False)
    table.add_column("what")
    table.add_column("how much")
    rows = setting_rows(
        answer.placement,
        answer.aim,
        opening_deg=float(answer.exposure.seat.opening_deg[0]),
        closure_mm=answer.closure_mm,
        contact_error_deg=answer.contact_error_deg,
    )
    for row in rows:
        table.add_row(*row)
    return table


def _print_structures(answer: ExposurePrediction) -> None:
    """Name what the view wants and does not show; count the rest."""
    wanted = answer.prediction.measurements.wanted
    own = {
        f"{code}.{side}" for pair in wanted.contacts for code, side in zip(pair, SIDES, strict=True)
    }
    own |= {*wanted.crests, *wanted.front_surfaces, *wanted.last_surfaces}
    rows = answer.document()["structures"]
    missing = [
        f"{landmark_title(r['name'])} ({r['status']})"
        for r in rows
        if r["name"] in own and not _is_shown(r)
    ]
    shown = sum(_is_shown(row) for row in rows)
    console().print(shown_words(missing, shown=shown, of=len(rows)), style="dim")


SIDES = ("distal", "mesial")


def _is_shown(row: dict[str, Any]) -> bool:
    return bool(row["status"] == "shown")


__all__ = ["show"]

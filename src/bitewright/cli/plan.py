"""`bitewright plan`: the best aim and place for a view, and the room around it."""

from pathlib import Path
from typing import Annotated

import typer
from rich.table import Table

from bitewright.cli import options
from bitewright.cli.option_groups import grouped
from bitewright.cli.options import RatingOptions, StationOptions
from bitewright.cli.tables import caution, console, contacts_table, findings_table, print_json
from bitewright.planning.tolerance import Slip
from bitewright.quality.views import view as named_view
from bitewright.tasks.plan.plan_view import ViewPlan, plan_view, read_scatter
from bitewright.words.plans import (
    SLIP_WORDS,
    first_time_words,
    plan_instructions,
    slip_distance,
)
from bitewright.words.ratings import predicted_rating
from bitewright.words.titles import criterion_title

EXAMPLE = "bitewright plan --view right-molar --receptor sensor-2"


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command(name="plan", epilog=f"Example:\n\n{EXAMPLE}")(grouped(plan))


def plan(
    *,
    view: options.View,
    station: StationOptions,
    forward: Annotated[
        float | None,
        typer.Option(help="Keep the receptor at this place instead of searching for it. [mm]"),
    ] = None,
    no_turn: Annotated[
        bool, typer.Option("--no-turn", help="Keep the receptor parallel to the teeth.")
    ] = False,
    rating: RatingOptions,
    scatter: Annotated[
        Path | None,
        typer.Option(help="An operator's Scatter file: how likely is it right the first time?"),
    ] = None,
    as_json: options.AsJson = False,
) -> None:
    """Find the best aim and forward/back position, and the tolerance of each movement."""
    of_view, belief = named_view(view), station.believed()
    answer = plan_view(
        of_view,
        station.station(of_view, belief),
        belief=belief,
        scatter=None if scatter is None else read_scatter(scatter),
        allow_turn=not no_turn,
        forward_mm=forward,
        by=rating.rated_by(),
    )
    if as_json:
        print_json(answer.document())
    else:
        show(answer)


def show(answer: ViewPlan) -> None:
    """Print a plan for people."""
    out = console()
    made = answer.plan
    at = made.station
    heading = (
        f"[bold]Plan for {made.view.title}[/bold], {at.receptor.title}, {at.holder.title}, "
        f"{at.tube.title}, {at.outlines.mouth.name}"
    )
    out.print(heading)
    said = predicted_rating(made.view.purpose, answer.grade, answer.scheme.in_full)
    out.print(f"{said}\n")
    for line in plan_instructions(answer.plan.setting, answer.edges):
        out.print(f"- {line}")
    out.print()
    chances = {name: f"{share:.0%}" for name, share in answer.open_chances.items()}
    heading = "chance to be open"
    out.print(contacts_table(answer.contacts, {heading: chances} if chances else None))
    out.print()
    out.print(findings_table(answer.findings))
    out.print()
    out.print(_tolerance_table(answer.slips))
    out.print()
    if answer.first_time is not None:
        out.print(f"{first_time_words(answer.first_time)}\n")
    out.print(caution())


def _tolerance_table(slips: tuple[Slip, ...]) -> Table:
    table = Table(title="Room for each movement", title_justify="left", box=None, pad_edge=False)
    for heading in ("movement", "first target lost", "which", "first failure", "which"):
        table.add_column(heading)
    for slip in slips:
        table.add_row(
            SLIP_WORDS[slip.movement],
            slip_distance(slip.until_short, slip),
            criterion_title(slip.short_criterion),
            slip_distance(slip.until_failed, slip),
            criterion_title(slip.failed_criterion),
        )
    return table


__all__ = ["add_to", "plan"]

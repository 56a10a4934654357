"""`bitewright plan`: the best aim and place for a view, and the room around it."""

from pathlib import Path
from typing import Annotated

import typer

from bitewright.cli import options
from bitewright.cli.option_groups import grouped
from bitewright.cli.options import RatingOptions, StationOptions
from bitewright.cli.screen import print_json

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
    """Find the set-up that most likely serves, its odds, and the tolerance of each movement."""
    from bitewright.cli.shown.plan import show
    from bitewright.planning.best_aim import Held
    from bitewright.quality.views import view as named_view
    from bitewright.tasks.plan.plan_view import plan_view, read_scatter

    of_view, belief = named_view(view), station.believed()
    answer = plan_view(
        of_view,
        station.station(of_view, belief),
        belief=belief,
        scatter=None if scatter is None else read_scatter(scatter),
        held=Held(allow_turn=not no_turn, forward_mm=forward),
        by=rating.rated_by(),
        with_odds=True,
    )
    if as_json:
        print_json(answer.document())
    else:
        show(answer)


__all__ = ["add_to", "plan"]

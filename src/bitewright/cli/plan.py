"""`bitewright plan`: the best aim and place for a view, and the room around it."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from bitewright.cli import options
from bitewright.cli.option_groups import grouped
from bitewright.cli.options import CardOptions, PatientOptions, RatingOptions, StationOptions
from bitewright.cli.screen import print_json

if TYPE_CHECKING:
    from bitewright.planning.best_aim import Held
    from bitewright.quality.views import View

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
    patient: PatientOptions,
    steps: Annotated[
        bool,
        typer.Option("--ladder", help="Tell what to try in order, each step with its odds."),
    ] = False,
    anyway: Annotated[
        bool, typer.Option("--anyway", help="Show the set-up of a plan that does not work too.")
    ] = False,
    card: CardOptions,
    as_json: options.AsJson = False,
) -> None:
    """Find the set-up that most likely serves, its odds, and the tolerance of each movement.

    With --ladder, or a patient's limits, what to try in order instead; with --card, a card to
    set up from at the chair.
    """
    from bitewright.cli.shown.plan import show
    from bitewright.planning.best_aim import Held
    from bitewright.quality.views import view as named_view
    from bitewright.tasks.plan.plan_view import plan_view, read_scatter

    of_view, belief = named_view(view), station.believed()
    if card.card is not None:
        wanted = Held(allow_turn=not no_turn, forward_mm=forward)
        write_card(of_view, station, patient, rating, card, scatter=scatter, held=wanted)
        return
    if steps or patient.has_limits:
        climb(of_view, station, patient, rating, scatter=scatter, as_json=as_json)
        return
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
        show(answer, anyway=anyway)


def climb(
    of_view: "View",
    station: StationOptions,
    patient: PatientOptions,
    rating: RatingOptions,
    *,
    scatter: Path | None,
    as_json: bool,
) -> None:
    """Tell what to try in order."""
    from bitewright.cli.progress import told_on
    from bitewright.cli.shown.ladder import show_ladder
    from bitewright.tasks.catalogue.named import equipment
    from bitewright.tasks.plan.plan_ladder import owned_of, plan_ladder
    from bitewright.tasks.plan.plan_view import read_scatter

    with told_on("Steps") as (begin, _):
        answer = plan_ladder(
            of_view,
            station.station(of_view, station.believed()),
            owned_of(equipment(station.equipment or ()), patient.own or ()),
            by=rating.rated_by(),
            bears=patient.bears(),
            scatter=None if scatter is None else read_scatter(scatter),
            begin=begin,
        )
    if as_json:
        print_json(answer.document())
    else:
        show_ladder(answer)


def write_card(
    of_view: "View",
    station: StationOptions,
    patient: PatientOptions,
    rating: RatingOptions,
    card: CardOptions,
    *,
    scatter: Path | None,
    held: "Held",
) -> None:
    """Write the chair card of a view, or of all four."""
    from bitewright.cli.progress import told_on
    from bitewright.cli.screen import console
    from bitewright.tasks.catalogue.named import equipment
    from bitewright.tasks.plan.chair_card import (
        CardSize,
        CardWish,
        chair_cards,
        check_card_file,
        views_of_series,
        write_cards,
    )
    from bitewright.tasks.plan.plan_ladder import owned_of
    from bitewright.tasks.plan.plan_view import read_scatter
    from bitewright.words.chair_card import written_words

    path = Path(str(card.card))
    check_card_file(path)
    belief = station.believed()
    wish = CardWish(
        owned=owned_of(equipment(station.equipment or ()), patient.own or ()),
        by=rating.rated_by(),
        bears=patient.bears(),
        scatter=None if scatter is None else read_scatter(scatter),
        held=held,
    )
    views = views_of_series(of_view) if card.every_view else (of_view,)
    with told_on("Cards") as (begin, _):
        cards = chair_cards(views, lambda of: station.station(of, belief), wish, begin=begin)
    write_cards(cards, path, CardSize(card.card_size))
    console().print(written_words(path.name, len(cards)))


__all__ = ["add_to", "plan"]

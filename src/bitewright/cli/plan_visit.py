"""`bitewright plan-visit`: the fewest films that show every wanted surface, each with its odds."""

from pathlib import Path
from typing import Annotated

import typer

from bitewright.cli import options
from bitewright.cli.options import CardPaper
from bitewright.cli.screen import console, print_json
from bitewright.cli.visit import Sides
from bitewright.quality.criteria import Question

EXAMPLE = "bitewright plan-visit --tooth 15 --tooth 16 --lost 46 --card visit.pdf"


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command(name="plan-visit", epilog=f"Example:\n\n{EXAMPLE}")(plan_visit_command)


def plan_visit_command(
    *,
    question: options.Ask = Question.ENAMEL,
    surface: options.Surfaces = None,
    side: Annotated[Sides, typer.Option(help="The side that is wanted, or both.")] = Sides.BOTH,
    tooth: Annotated[
        list[int] | None,
        typer.Option(
            help="A tooth whose surfaces are wanted, such as 15; several times; else all."
        ),
    ] = None,
    lost: Annotated[
        list[int] | None, typer.Option(help="A tooth that is lost; several times.")
    ] = None,
    receptor: options.Receptor = "sensor-2",
    holder: options.Holder = "ring-holder",
    tube: options.Tube = "rectangular-300",
    own: Annotated[
        list[str] | None,
        typer.Option(help="A receptor or holder that the room has; several times; else all known."),
    ] = None,
    mouth: options.MouthFile = None,
    belief: options.BeliefFile = None,
    equipment: options.EquipmentFiles = None,
    scatter: Annotated[Path | None, typer.Option(help="An operator's Scatter file.")] = None,
    card: Annotated[
        Path | None,
        typer.Option(help="Write the chair cards of all films, as this file (.pdf or .html)."),
    ] = None,
    card_size: Annotated[
        CardPaper,
        typer.Option(help="With --card: to hold (A5, four on A4) or for the wall (A4, A3)."),
    ] = CardPaper.HAND,
    as_json: options.AsJson = False,
) -> None:
    """Plan a visit: the fewest films that show every wanted surface, each with its odds."""
    from bitewright.cli.progress import told_on
    from bitewright.cli.shown.plan_visit import show
    from bitewright.mouth.numbering import Side
    from bitewright.quality.questions import question_about
    from bitewright.tasks.catalogue.named import equipment as known_equipment
    from bitewright.tasks.catalogue.named import mouth_from, named_equipment, read_belief
    from bitewright.tasks.plan.chair_card import CardSize, check_card_file, write_cards
    from bitewright.tasks.plan.plan_view import read_scatter
    from bitewright.tasks.rated_by import RatedBy
    from bitewright.tasks.visit.plan_visit import plan_visit
    from bitewright.tasks.visit.planned_mouth import planned_mouth
    from bitewright.tasks.visit.visit_wish import visit_wish
    from bitewright.words.chair_card import written_words

    if card is not None:
        check_card_file(card)
    known = known_equipment(equipment or ())
    wish = visit_wish(
        known,
        named_equipment(known, receptor=receptor, holder=holder, tube=tube),
        own or (),
        by=RatedBy(question=question_about(question, surface or ())),
        sides=tuple(each for each in Side if side is Sides.BOTH or each.value == side),
        teeth=tooth or (),
        scatter=None if scatter is None else read_scatter(scatter),
    )
    within = planned_mouth(
        None if mouth is None else mouth_from(mouth),
        None if belief is None else read_belief(belief),
        lost or (),
    )
    with told_on("Films") as (begin, _):
        made = plan_visit(wish, within, begin=begin)
        cards = () if card is None else made.cards(begin)
    if cards and card is not None:
        write_cards(cards, card, CardSize(card_size))
    if as_json:
        print_json(made.document())
        return
    show(console(), made)
    if cards and card is not None:
        console().print(written_words(card.name, len(cards)))


__all__ = ["add_to", "plan_visit_command"]

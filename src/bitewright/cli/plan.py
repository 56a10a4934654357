"""`bitewright plan`: the best aim and place for a view, and the room around it."""

from dataclasses import replace
from pathlib import Path
from typing import Annotated

import typer
from rich.table import Table

from bitewright.cli import options
from bitewright.cli.tables import caution, console, contacts_table, findings_table, print_json
from bitewright.planning.first_time import FirstTime
from bitewright.planning.tolerance import Slip
from bitewright.quality.criteria import Question
from bitewright.tasks.plan.plan_view import PlanRequest, ViewPlan, plan_view

EXAMPLE = "bitewright plan --view right-molar --receptor sensor-2"


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command(name="plan", epilog=f"Example:\n\n{EXAMPLE}")(plan)


def plan(
    view: options.View,
    receptor: options.Receptor = "film-2",
    holder: options.Holder = "ring-holder",
    tube: options.Tube = "rectangular-300",
    mouth: options.MouthFile = None,
    belief: options.BeliefFile = None,
    equipment: options.EquipmentFiles = None,
    forward: Annotated[
        float | None,
        typer.Option(help="Keep the receptor at this place instead of searching for it. [mm]"),
    ] = None,
    no_turn: Annotated[
        bool, typer.Option("--no-turn", help="Keep the receptor parallel to the teeth.")
    ] = False,
    question: options.Ask = Question.ENAMEL,
    scheme: options.Scheme = "uk-2020",
    scatter: Annotated[
        Path | None,
        typer.Option(help="An operator's Scatter file: how likely is it right the first time?"),
    ] = None,
    as_json: options.AsJson = False,
) -> None:
    """Find the best aim and forward/back position, and the tolerance of each movement."""
    answer = plan_view(
        PlanRequest(
            view=view,
            station=replace(
                options.asked_station(receptor, holder, tube, mouth, equipment),
                belief_file=belief,
            ),
            allow_turn=not no_turn,
            forward_mm=forward,
            question=question,
            scheme=scheme,
            scatter_file=scatter,
        )
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
    out.print(
        f"[bold]Plan for {made.view.name}[/bold], {at.receptor.name}, {at.holder.name}, "
        f"{at.tube.name}, {at.outlines.mouth.name}"
    )
    out.print(f"{made.view.purpose}. Predicted rating {answer.grade} ({answer.scheme.in_full}).\n")
    for line in instructions(answer):
        out.print(f"- {line}")
    out.print()
    chances = {name: f"{share:.0%}" for name, share in answer.open_chances.items()}
    out.print(contacts_table(answer.contacts, {"chance to be open": chances} if chances else None))
    out.print()
    out.print(findings_table(answer.findings))
    out.print()
    out.print(_tolerance_table(answer.slips))
    out.print()
    if answer.first_time is not None:
        out.print(f"{first_time_words(answer.first_time)}\n")
    out.print(caution())


def first_time_words(chance: FirstTime) -> str:
    """How likely the operator of a Scatter file gets it right at once."""
    cost = "" if chance.costs_most is None else f" Most often lost: {chance.costs_most}."
    return (
        f"In this operator's hands the first exposure shows all that is planned in "
        f"{chance.as_planned:.0%}, and fails no criterion in {chance.none_failed:.0%} (this mouth, "
        f"{chance.draws} exposures drawn)."
        f"{cost}"
    )


def instructions(answer: ViewPlan) -> list[str]:
    """The plan as an operator would be told it."""
    setting = answer.plan.setting
    casing = [edge for edge in answer.edges if "front" in edge.edge and not edge.upper]
    against = "; ".join(f"{edge.edge.value} against the {edge.words}" for edge in casing)
    turn = (
        f"turned {setting.turn_deg:g} degrees, its front end towards the opposite canine"
        if setting.turn_deg >= 0.5
        else "parallel to the teeth"
    )
    offset = setting.ring_offset_deg
    way = "front" if offset > 0 else "back"
    aim = (
        f"Swing the tube {abs(offset):g} degrees towards the {way} from the receptor's square-on "
        "direction"
        if abs(offset) >= 0.5
        else "Aim square onto the receptor"
    )
    return [
        f"Receptor {turn}, {setting.lingual_mm:g} mm from the crowns; {against}.",
        f"{aim}, {_level(setting.vertical_deg)}.",
        (
            f"Middle of the receptor {abs(setting.forward_mm):g} mm "
            f"{'in front of' if setting.forward_mm >= 0 else 'behind'} the view's usual middle."
        ),
    ]


def _level(vertical_deg: float) -> str:
    """Where the tube stands against the occlusal plane."""
    if abs(vertical_deg) < 0.25:
        return "level with the occlusal plane"
    side = "above" if vertical_deg > 0.0 else "below"
    return f"from {abs(vertical_deg):g} degrees {side} the occlusal plane"


def _tolerance_table(slips: tuple[Slip, ...]) -> Table:
    table = Table(title="Room for each movement", title_justify="left", box=None, pad_edge=False)
    for heading in ("movement", "first target lost", "which", "first failure", "which"):
        table.add_column(heading)
    for slip in slips:
        table.add_row(
            slip.movement.value,
            _distance(slip.until_short, slip),
            slip.short_criterion or "",
            _distance(slip.until_failed, slip),
            slip.failed_criterion or "",
        )
    return table


def _distance(value: float | None, slip: Slip) -> str:
    return f"none within {slip.tried:g} {slip.unit}" if value is None else f"{value:g} {slip.unit}"


__all__ = ["add_to", "instructions", "plan"]

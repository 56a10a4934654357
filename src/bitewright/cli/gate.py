"""`bitewright gate`: what stands before another exposure of a visit, and a person's decision."""

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from bitewright.cli import options
from bitewright.cli.screen import console, print_json
from bitewright.cli.visit import Sides
from bitewright.quality.criteria import Question

EXAMPLE = (
    'bitewright gate right.marks.json left.marks.json --purpose "pain at 45" '
    '--cause "tube too far forward" --change "ring against the rim"'
)


class GateDecision(StrEnum):
    """What a person may decide."""

    NOT_EXPOSING = "not-exposing"
    EXPOSING = "exposing"


class Hands(StrEnum):
    """The hands that are stated where nobody has kept a record."""

    LEARNER = "learner"
    PRACTISED = "practised"
    VERY_STEADY = "very-steady"


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command(name="gate", epilog=f"Example:\n\n{EXAMPLE}")(gate_command)


def gate_command(
    *,
    marks: Annotated[
        list[Path], typer.Argument(help="Marks files of one visit's films, or their folder.")
    ],
    question: options.Ask = Question.ENAMEL,
    surface: options.Surfaces = None,
    side: Annotated[Sides, typer.Option(help="The side that was wanted, or both.")] = Sides.BOTH,
    purpose: Annotated[
        str, typer.Option(help="What another film is wanted for in this patient.")
    ] = "",
    cause: Annotated[str, typer.Option(help="Why the film that failed did.")] = "",
    change: Annotated[str, typer.Option(help="What will be changed.")] = "",
    hand: Annotated[Hands, typer.Option(help="Whose hands, where no scatter is given.")] = (
        Hands.PRACTISED
    ),
    scatter: Annotated[Path | None, typer.Option(help="An operator's Scatter file.")] = None,
    receptor: options.Receptor = "sensor-2",
    holder: options.Holder = "ring-holder",
    tube: options.Tube = "rectangular-300",
    belief: options.BeliefFile = None,
    equipment: options.EquipmentFiles = None,
    decide: Annotated[
        GateDecision | None, typer.Option(help="What a person decides; written to the log.")
    ] = None,
    reason: Annotated[str, typer.Option(help="Why, in a line.")] = "",
    by: Annotated[str, typer.Option(help="Code of who decides and signs.")] = "",
    student: Annotated[
        str | None,
        typer.Option(help="Code of the student who took the film; somebody else signs."),
    ] = None,
    operator: Annotated[
        str,
        typer.Option(help="Code of who took the film, where the log does not have it yet."),
    ] = "",
    about: Annotated[
        str | None,
        typer.Option(
            help="The film's exposure in the log, by number or key; else the film that failed, "
            "recorded if need be."
        ),
    ] = None,
    outcome: Annotated[
        str | None,
        typer.Option(
            help="The further film, by its marks file's name: keep what it won with --about."
        ),
    ] = None,
    store: Annotated[str | None, typer.Option(help="The log's store; else the usual one.")] = None,
    as_json: options.AsJson = False,
) -> None:
    """Weigh another exposure: what not exposing leaves unread, and what one more may win."""
    from bitewright.cli.shown.gate import show
    from bitewright.mouth.numbering import Side
    from bitewright.planning.stated_hands import stated_hands
    from bitewright.quality.questions import question_about
    from bitewright.tasks.catalogue.named import equipment as known_equipment
    from bitewright.tasks.catalogue.named import named_equipment, read_belief
    from bitewright.tasks.plan.plan_view import read_scatter
    from bitewright.tasks.visit.gate_visit import Hand, gate_visit
    from bitewright.tasks.visit.keep_outcome import FurtherFilm, check_outcome_asked, keep_outcome
    from bitewright.tasks.visit.sign_decision import SignedDecision, sign_decision
    from bitewright.visit.gate import Stated

    if outcome is not None:
        check_outcome_asked(about=about, by=by, decides=decide is not None)
    known = known_equipment(equipment or ())
    stated_hand = stated_hands()[hand.value]
    answer = gate_visit(
        marks,
        known,
        question_about(question, surface or ()),
        Stated(purpose=purpose, cause=cause, change=change),
        by=named_equipment(known, receptor=receptor, holder=holder, tube=tube),
        hand=Hand(title=stated_hand.title, scatter=stated_hand.scatter)
        if scatter is None
        else Hand(title="the operator of that record", scatter=read_scatter(scatter)),
        belief=None if belief is None else read_belief(belief),
        sides=tuple(each for each in Side if side is Sides.BOTH or each.value == side),
    )
    recorded = None
    if decide is not None:
        signed = SignedDecision(
            decision=decide.value,
            reason=reason,
            by=by,
            about=about,
            operator=student or operator,
            is_students=student is not None,
            store=store,
        )
        recorded = sign_decision(answer, signed)
    if outcome is not None and about is not None:
        kept = FurtherFilm(
            about=about,
            further=outcome,
            by=by,
            operator=student or operator,
            supervisor=by if student else "",
            store=store,
        )
        recorded = keep_outcome(answer.visit, kept)
    if as_json:
        print_json(answer.document(recorded))
    else:
        show(console(), answer, recorded)


__all__ = ["add_to", "gate_command"]

"""`bitewright audit sample | agreement | cycle`: small surveys and what they are worth."""

from pathlib import Path
from typing import Annotated

import typer

from bitewright.cli import options
from bitewright.cli.screen import console, print_json


def add_to(group: typer.Typer) -> None:
    """Register the commands."""
    for name, command, example in (
        ("sample", sample, "bitewright audit sample --most 4 --images 20"),
        ("agreement", agreement, "bitewright audit agreement grades.csv"),
        ("cycle", cycle, "bitewright audit cycle audit-2025.toml"),
    ):
        group.command(name=name, epilog=f"Example:\n\n{example}")(command)


def sample(
    rate: Annotated[
        float | None, typer.Option(help="Rate to expect, 0 to 1; the published one if left out.")
    ] = None,
    margin: Annotated[float, typer.Option(help="How near the rate is to be known.")] = 0.05,
    to: Annotated[
        float | None, typer.Option(help="Rate to be told apart from it, in a second sample.")
    ] = None,
    power: Annotated[float, typer.Option(help="Chance to see that difference.")] = 0.8,
    most: Annotated[int, typer.Option(min=0, help="Retakes allowed in a survey.")] = 4,
    images: Annotated[int, typer.Option(min=1, help="Images of that survey.")] = 20,
    kind: Annotated[str, typer.Option(help="bitewing or periapical.")] = "periapical",
    as_json: options.AsJson = False,
) -> None:
    """Tell how many images to look at, and how little a small survey says."""
    from bitewright.tasks.audit.size_survey import size_survey

    told = size_survey(
        rate=rate, margin=margin, to=to, power=power, most=most, images=images, kind=kind
    )
    if as_json:
        print_json(told.document())
        return
    for sentence in told.sentences():
        console().print(sentence)


def agreement(
    grades: Annotated[
        Path,
        typer.Argument(help="CSV with the columns image, rater, grade and, if known, patient."),
    ],
    order: Annotated[
        str | None,
        typer.Option(help="Grades from best to worst, joined by commas; alphabetical if left out."),
    ] = None,
    as_json: options.AsJson = False,
) -> None:
    """Tell how far people agree who graded the same images."""
    from bitewright.cli.shown.agreement import show
    from bitewright.tasks.audit.compare_raters import compare_raters

    told = compare_raters(grades, tuple(part.strip() for part in (order or "").split(",") if part))
    if as_json:
        print_json(told.document())
        return
    show(told)


def cycle(
    plan: Annotated[Path, typer.Argument(help="The audit as written down (TOML).")],
    as_json: options.AsJson = False,
) -> None:
    """Compare the two cycles of an audit with the standard and with each other."""
    from bitewright.tasks.audit.compare_audit_cycles import (
        compare_audit_cycles,
        comparison_document,
    )
    from bitewright.words.audit_cycles import (
        PATIENTS_NOT_COUNTED,
        action_words,
        again_words,
        cycle_change,
        cycle_standing,
    )

    told = compare_audit_cycles(plan)
    if as_json:
        print_json(comparison_document(told))
        return
    screen = console()
    screen.print(f"[bold]{told.plan.subject}[/bold], {told.plan.scheme.title}")
    for name, standings in (("first cycle", told.first), ("second cycle", told.second)):
        for each in standings:
            screen.print(cycle_standing(name, each))
    for grade, pair in told.changes.items():
        screen.print(cycle_change(grade, pair, told.images_needed[grade]))
    for action in told.plan.actions:
        screen.print(action_words(action))
    screen.print(again_words(told.plan.reaudit_date))
    if any(each and each.patients is None for each in (told.plan.first, told.plan.second)):
        screen.print(PATIENTS_NOT_COUNTED, style="dim")


__all__ = ["add_to", "agreement", "cycle", "sample"]

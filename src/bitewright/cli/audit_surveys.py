"""`bitewright audit sample | agreement | cycle`: small surveys and what they are worth."""

from pathlib import Path
from typing import Annotated

import typer
from rich.table import Table

from bitewright.cli import options
from bitewright.cli.tables import console, print_json
from bitewright.tasks.audit.compare_audit_cycles import compare_audit_cycles, comparison_document
from bitewright.tasks.audit.compare_raters import compare_raters
from bitewright.tasks.audit.size_survey import size_survey
from bitewright.words.agreement import HOW_TO_READ, kappa_words, together_words
from bitewright.words.verdicts import TARGET_WORDS


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
    told = size_survey(
        rate=rate, margin=margin, to=to, power=power, most=most, images=images, kind=kind
    )
    if as_json:
        print_json(told.document())
        return
    for sentence in told.sentences():
        console().print(sentence)


def agreement(
    grades: Annotated[Path, typer.Argument(help="CSV with the columns image, rater, grade.")],
    order: Annotated[
        str | None,
        typer.Option(help="Grades from best to worst, joined by commas; alphabetical if left out."),
    ] = None,
    as_json: options.AsJson = False,
) -> None:
    """Tell how far people agree who graded the same images."""
    told = compare_raters(grades, tuple(part.strip() for part in (order or "").split(",") if part))
    if as_json:
        print_json(told.document())
        return
    screen = console()
    table = Table(box=None, pad_edge=False)
    for heading in ("raters", "images", "alike", "kappa", "weighted", "in words"):
        table.add_column(heading)
    for pair in told.pairs:
        table.add_row(
            " and ".join(pair.raters),
            str(pair.images),
            f"{pair.alike.share:.0%} ({100 * pair.alike.low:.0f} to {pair.alike.high:.0%})",
            f"{pair.kappa.value:.2f} ({pair.kappa.low:.2f} to {pair.kappa.high:.2f})",
            f"{pair.weighted.value:.2f} ({pair.weighted.low:.2f} to {pair.weighted.high:.2f})",
            kappa_words(pair.kappa),
        )
    screen.print(table)
    if told.together is not None:
        screen.print(together_words(told.together, told.images_together))
    for pair in told.pairs:
        screen.print(f"\nGrades of {pair.raters[0]} (rows) and {pair.raters[1]} (columns)")
        counts = Table(box=None, pad_edge=False)
        for heading in ("", *told.grades):
            counts.add_column(heading, justify="right")
        for grade, row in zip(told.grades, pair.table, strict=True):
            counts.add_row(grade, *(str(cell) for cell in row))
        screen.print(counts)
    screen.print(f"\n{HOW_TO_READ}", style="dim")


def cycle(
    plan: Annotated[Path, typer.Argument(help="The audit as written down (TOML).")],
    as_json: options.AsJson = False,
) -> None:
    """Compare the two cycles of an audit with the standard and with each other."""
    told = compare_audit_cycles(plan)
    if as_json:
        print_json(comparison_document(told))
        return
    screen = console()
    screen.print(f"[bold]{told.plan.subject}[/bold], {told.plan.scheme.title}")
    for name, standings in (("first cycle", told.first), ("second cycle", told.second)):
        for each in standings:
            bound = "at least" if each.at_least else "at most"
            screen.print(
                f"{name}, grade {each.grade}: {each.share.count} of {each.share.total} "
                f"({each.share.share:.1%}, {100 * each.share.low:.1f} to {each.share.high:.1%}), "
                f"target {bound} {each.target:.0%}: {TARGET_WORDS[each.verdict]}"
            )
    for grade, pair in told.changes.items():
        verdict = "a change beyond chance" if pair.settled else "no change beyond chance"
        needed = told.images_needed[grade]
        enough = (
            "" if needed is None or pair.settled else f"; {needed} images a cycle would show it"
        )
        screen.print(
            f"grade {grade}: {100 * pair.difference:+.1f} points ({100 * pair.low:+.1f} to "
            f"{100 * pair.high:+.1f}), {verdict}{enough}"
        )
    for action in told.plan.actions:
        screen.print(f"action: {action.what} ({action.owner}, by {action.by_date})")
    screen.print(f"audit again: {told.plan.reaudit_date}")


__all__ = ["add_to", "agreement", "cycle", "sample"]

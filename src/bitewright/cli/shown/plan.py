"""A plan for people: where things go, what will be seen, and how much room there is."""

from rich.table import Table

from bitewright.cli.screen import caution, console
from bitewright.cli.shown.tables import contacts_table, findings_table
from bitewright.planning.tolerance import Slip
from bitewright.tasks.plan.plan_view import ViewPlan
from bitewright.words.odds import (
    ODDS_HEADINGS,
    chance_of,
    fails_words,
    hand_title,
    hands_words,
    leaving_words,
    odds_title,
    unknown_words,
)
from bitewright.words.plans import (
    SLIP_WORDS,
    does_not_work_words,
    first_time_words,
    plan_instructions,
    slip_distance,
)
from bitewright.words.ratings import predicted_rating
from bitewright.words.titles import criterion_title


def show(answer: ViewPlan, *, anyway: bool = False) -> None:
    """Print a plan for people; the set-up of one that does not work only if wanted anyway."""
    out = console()
    made = answer.plan
    at = made.station
    heading = (
        f"[bold]Plan for {made.view.title}[/bold], {at.receptor.title}, {at.holder.title}, "
        f"{at.tube.title}, {at.outlines.mouth.name}"
    )
    out.print(heading)
    said = predicted_rating(made.view.purpose, answer.grade, answer.scheme.in_full)
    out.print(f"{said} {answer.fitness}\n")
    if answer.odds:
        out.print(_odds_table(answer))
        out.print(unknown_words() if answer.first_time is not None else hands_words())
        if answer.leaving is not None:
            out.print(leaving_words(answer.leaving))
        out.print()
    if answer.works or anyway:
        for line in plan_instructions(answer.plan.setting, answer.edges):
            out.print(f"- {line}")
        out.print()
    if not answer.works:
        out.print(f"{does_not_work_words(serves=answer.serves, closes=answer.closes)}\n")
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


def _odds_table(answer: ViewPlan) -> Table:
    title = odds_title(answer.question)
    table = Table(title=title, title_justify="left", box=None, pad_edge=False)
    for heading in ODDS_HEADINGS:
        table.add_column(heading)
    for each in answer.odds:
        table.add_row(
            hand_title(each.hand),
            chance_of(each.in_this_mouth),
            chance_of(each.in_any_mouth),
            fails_words(each.in_any_mouth),
        )
    return table


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


__all__ = ["show"]

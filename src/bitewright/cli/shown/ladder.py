"""The ladder for people: what to take, every step with its odds, dose and what it loses."""

from rich.table import Table

from bitewright.cli.screen import caution, console
from bitewright.tasks.plan.plan_ladder import LadderAnswer
from bitewright.words.ladder import (
    LADDER_HEADINGS,
    chances_of,
    dose_beside,
    fit_not_words,
    hands_heading,
    ladder_notes,
    ladder_step_words,
    ladder_title,
    limits_words,
    lost_words,
)
from bitewright.words.plans import plan_instructions


def show_ladder(answer: LadderAnswer) -> None:
    """Print a ladder, and the set-up of the step to take."""
    out = console()
    made = answer.ladder
    first = made.tried[0].step
    out.print(ladder_title(answer.view.title, first.receptor.title, first.holder.title))
    out.print(f"{answer.answer}\n")
    assumed = limits_words(answer.bears)
    if assumed:
        out.print(f"{assumed}\n")
    if any(each.plan is not None for each in made.tried):
        out.print(_table(answer))
    if fit_not_words(made):
        out.print(fit_not_words(made))
    out.print(f"\n{ladder_notes()}\n")
    take = made.take
    if take is not None and take.plan is not None:
        for line in plan_instructions(take.plan.setting, answer.edges(take)):
            out.print(f"- {line}")
        out.print()
    out.print(caution())


def _table(answer: LadderAnswer) -> Table:
    table = Table(box=None, pad_edge=False)
    table.add_column("")
    table.add_column(LADDER_HEADINGS[0], min_width=26)
    table.add_column(hands_heading(answer.ladder), min_width=15)
    for heading in LADDER_HEADINGS[1:]:
        table.add_column(heading)
    for tried in answer.ladder.tried:
        if tried.plan is not None:
            table.add_row(
                ">" if tried is answer.ladder.take else "",
                ladder_step_words(tried),
                chances_of(tried),
                dose_beside(answer.dose(tried)),
                lost_words(tried),
            )
    return table


__all__ = ["show_ladder"]

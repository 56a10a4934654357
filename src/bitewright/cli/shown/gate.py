"""The gate for people: not exposing first, then what one more may win, then the decision."""

from typing import TYPE_CHECKING

from rich.console import Console

from bitewright.cli.screen import caution
from bitewright.tasks.visit.gate_visit import GateAnswer
from bitewright.words.visits import set_aside_words

if TYPE_CHECKING:
    from bitewright.tasks.log.record_exposure import Recorded


def show(out: Console, answer: GateAnswer, recorded: "Recorded | None") -> None:
    """Print what stands before another exposure, and what was written to the log."""
    from bitewright.cli.shown.log import show_recorded

    out.print(answer.visit.heading, style="bold", markup=False)
    for sentence in answer.visit.sentences:
        out.print(sentence, markup=False)
    for aside in answer.set_aside:
        out.print(set_aside_words(aside.name, aside.why), markup=False)
    for sentences in (answer.not_exposing, answer.exposing):
        out.print()
        for sentence in sentences:
            out.print(sentence, markup=False)
    out.print()
    out.print(caution())
    if recorded is not None:
        show_recorded(recorded)


__all__ = ["show"]

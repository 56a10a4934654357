"""An answer for people, before all else that is told of a film."""

from rich.console import Console
from rich.text import Text

from bitewright.cli.shown.tables import STYLES
from bitewright.explanation.chairside_answers import ChairsideQuestion
from bitewright.words.chairside import typed_question
from bitewright.words.film_answers import RIM, SIGNS, FilmAnswer

HOW_TO_SAY = "(--rim-flush or --rim-off)"


def show_answer(
    console: Console, answer: FilmAnswer, asks: ChairsideQuestion | None = None
) -> None:
    """Print whether a film serves, what to move first, and what is asked of the chairside."""
    sign = SIGNS[answer.served]
    console.print(Text(f"{sign} {answer.headline}.", f"bold {STYLES[sign]}"), answer.why)
    if answer.movement:
        console.print(Text(answer.what_to_do))
    for said in (answer.set_up, answer.expected):
        if said:
            console.print(Text(said))
    if answer.also:
        console.print(Text(answer.also))
    if answer.sure:
        console.print(Text(answer.sure))
    if answer.asks_rim:
        console.print(Text(f"{RIM} {HOW_TO_SAY}"))
    if asks is not None:
        console.print(Text(typed_question(asks)))
    console.print()


__all__ = ["show_answer"]

"""An alarm on the terminal: a heavy box, so that no colour is needed to see it."""

from rich.box import HEAVY
from rich.panel import Panel
from rich.text import Text

from bitewright.cli.screen import console
from bitewright.words.alarm import Alarm
from bitewright.words.answer import FOUND_SIGNS, Found


def show_alarm(alarm: Alarm | None, *, steps: bool = False) -> None:
    """Print the alarm, if there is one, and on wish what to do at once."""
    if alarm is None:
        return
    sign = FOUND_SIGNS[Found.ALARM]
    said = Text(alarm.figures)
    for number, step in enumerate(alarm.steps if steps else (), start=1):
        said.append(f"\n{number}. {step}")
    title = Text(f"{sign} {alarm.heading} {sign}", "bold red")
    console().print(
        Panel(said, title=title, title_align="left", box=HEAVY, border_style="bold red")
    )


__all__ = ["show_alarm"]

"""An audit for people: each question with its answer, the rates, and what to do."""

from rich.table import Table
from rich.text import Text

from bitewright.cli.screen import caution, console
from bitewright.cli.shown.alarm import show_alarm
from bitewright.cli.shown.rates import rates_shown
from bitewright.cli.shown.tables import STYLES
from bitewright.tasks.audit.audit_log import AuditAnswer
from bitewright.words.alarm import alarm_of
from bitewright.words.answer import FOUND_SIGNS
from bitewright.words.audit_answers import actions
from bitewright.words.cannot_tell import allowed_words


def show(answer: AuditAnswer) -> None:
    """Print an audit for people."""
    screen = console()
    show_alarm(alarm_of(answer.told))
    table = Table(title="Answers", title_justify="left", box=None, pad_edge=False)
    for heading in ("", "question", "answer"):
        table.add_column(heading, overflow="fold")
    for each in answer.answers:
        sign = FOUND_SIGNS[each.found]
        table.add_row(Text(sign, STYLES[sign]), each.question, each.whole)
    screen.print(table)
    screen.print()
    screen.print(rates_shown(answer.table))
    screen.print()
    for sentence in allowed_words(answer.told):
        screen.print(sentence)
    for number, action in enumerate(actions(answer.answers), start=1):
        screen.print(f"{number}. {action}")
    screen.print()
    screen.print(caution())


__all__ = ["show"]

"""For people: what to look at here before an exposure."""

from bitewright.cli.screen import console
from bitewright.tasks.audit.chair_checklists import ChairChecklists
from bitewright.words.phrases import capital


def show(told: ChairChecklists) -> None:
    """Print each fault with how often it was noted, and its checklist in order."""
    screen = console()
    screen.print(told.title, style="bold")
    for line in (told.about, told.few):
        if line:
            screen.print(line)
    for card in told.cards:
        screen.print(f"\n{capital(card.title)}", style="bold")
        screen.print(f"{card.noted}.")
        for number, look in enumerate(card.looks, start=1):
            screen.print(f"  {number}. {look}")
        screen.print(f"  Source: {card.source}", style="dim")
    screen.print()


__all__ = ["show"]

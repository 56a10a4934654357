"""Commands that are loaded when they are asked for: each waits for its own libraries alone.

The help of all of them waits for none: what it says of each stands here, and a test holds it to
what the command says of itself.
"""

import sys
from collections.abc import Iterator, MutableMapping
from functools import cache
from importlib import import_module
from typing import Any

import typer
import typer.main
from rich.console import Console
from typer.core import TyperCommand, TyperGroup

from bitewright.cli.plain_types import show_plain_types
from bitewright.words.wrong_usage import wrong_usage

COMMANDS = {
    "predict": (
        "predict",
        "Predict one exposure: contacts, structures shown or cut off, crest, closure, film.",
    ),
    "plan": (
        "plan",
        "Find the set-up that most likely serves, its odds, and the tolerance of each movement.",
    ),
    "plan-visit": (
        "plan_visit",
        "Plan a visit: the fewest films that show every wanted surface, each with its odds.",
    ),
    "assess": (
        "assess",
        "Measure and rate a film from its marks, explain it, and say what to do next time.",
    ),
    "visit": (
        "visit",
        "Read the films of a visit together: what each shows, and what none does.",
    ),
    "gate": (
        "gate",
        "Weigh another exposure: what not exposing leaves unread, and what one more may win.",
    ),
    "recall": (
        "recall",
        "Set an earlier and a later film side by side: what angulation alone does to the crest.",
    ),
    "teach": (
        "teach",
        "Make exercises with hidden answers, mark them, print them.",
    ),
    "marks": (
        "marks",
        "Begin a marks file: what to mark on a film.",
    ),
    "propose": (
        "propose",
        "Propose the marks of films, for a person to check; simulated films taught it.",
    ),
    "serve": (
        "serve",
        "Open the bench, the light box and the catalogue in the browser; Ctrl-C ends it.",
    ),
    "link": (
        "link",
        "Give another link to the pages that `bitewright serve` shows: for a browser, or a class.",
    ),
    "demo": (
        "demo",
        "Plan, expose 8 degrees off, explain the film, audit a year, make a set of exercises.",
    ),
    "mouth": (
        "mouth",
        "Show a mouth's contacts, the direction in which each is open, and what its teeth carry.",
    ),
    "list": (
        "catalogue",
        "List what can be named in other commands, with where its numbers come from.",
    ),
    "checklists": (
        "checklists",
        "Change what to look at for each fault, or print it as cards.",
    ),
    "cache": (
        "cache",
        "Show where mouths built for films are kept, how many and how large; or clear them.",
    ),
    "sheet": (
        "sheet",
        "Film drawn mouths, receptor kinds, faults, fillings and lesions on one contact sheet.",
    ),
    "log": (
        "log",
        "Record exposures, rejects and retakes so that nothing is lost, and read them again.",
    ),
    "audit": (
        "audit",
        "Audit a record: rates with intervals, change, operators, aim, faults and targets.",
    ),
    "competence": (
        "competence",
        "Keep attempts at exercises, and tell what a student or a class can do, and how surely.",
    ),
    "store": (
        "store",
        "Look after the log's store: check, back up, restore, rescue, export, import.",
    ),
}
"""The file of this folder that each command stands in, and what it does, in the order of
``--help``."""


WrongUsage: type[Exception] = typer.BadParameter.__bases__[0]
"""What Typer raises of words it cannot take; it does not export the class itself."""


class CommandsOnDemand(TyperGroup):
    """A group whose commands are imported one at a time, and none for its help."""

    def __init__(self, **attributes: Any) -> None:  # noqa: ANN401 - Typer's, handed on as they come
        super().__init__(**attributes)
        self.commands = _Commands({name: module for name, (module, _) in COMMANDS.items()})
        show_plain_types()

    def main(self, args: Any = None, *, standalone_mode: bool = True, **more: Any) -> Any:  # type: ignore[override]  # noqa: ANN401
        """Run a command; words it cannot take are one sentence and exit status 2."""
        try:
            status = super().main(args, standalone_mode=False, **more)
        except WrongUsage as error:
            sentence = wrong_usage(error)
            if sentence:
                say_to_errors(sentence)
            sys.exit(2)
        except typer.Abort:
            sys.exit(1)
        if standalone_mode:
            sys.exit(status if isinstance(status, int) else 0)
        return status

    def format_help(self, ctx: Any, formatter: Any) -> None:  # noqa: ANN401 - classes Typer keeps to itself
        """Write the help; of each command it needs the name and one line."""
        commands = self.commands
        self.commands = {
            name: TyperCommand(name, short_help=line) for name, (_, line) in COMMANDS.items()
        }
        try:
            super().format_help(ctx, formatter)
        finally:
            self.commands = commands


def say_to_errors(sentence: str) -> None:
    """One sentence of what went wrong, on one line however long."""
    Console(stderr=True, highlight=False, soft_wrap=True).print(
        f"bitewright: {sentence}", markup=False
    )


class _Commands(MutableMapping[str, Any]):
    """Commands by name; a module is imported when its command is first looked up."""

    def __init__(self, modules: dict[str, str]) -> None:
        self._found: dict[str, Any] = dict.fromkeys(modules)
        self._modules = modules

    def __getitem__(self, name: str) -> Any:  # noqa: ANN401 - Typer does not export its commands' class
        if self._found[name] is None:
            self._found[name] = _loaded(name, self._modules[name])
        return self._found[name]

    def __setitem__(self, name: str, command: Any) -> None:  # noqa: ANN401 - as above
        self._found[name] = command

    def __delitem__(self, name: str) -> None:
        del self._found[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._found)

    def __len__(self) -> int:
        return len(self._found)


@cache
def _loaded(name: str, module: str) -> Any:  # noqa: ANN401 - as above
    # Once a process: a second `add_to` would add a group's own commands again.
    alone = typer.Typer(rich_markup_mode="markdown")
    import_module(f"bitewright.cli.{module}").add_to(alone)
    return typer.main.get_group(alone).commands[name]


__all__ = ["COMMANDS", "CommandsOnDemand", "say_to_errors"]

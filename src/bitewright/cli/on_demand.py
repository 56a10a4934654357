"""Commands that are loaded when they are asked for: each waits for its own libraries alone."""

from collections.abc import Iterator, MutableMapping
from functools import cache
from importlib import import_module
from typing import Any

import typer
import typer.main
from typer.core import TyperGroup

MODULES = {
    "predict": "predict",
    "plan": "plan",
    "assess": "assess",
    "serve": "serve",
    "demo": "demo",
    "mouth": "mouth",
    "list": "catalogue",
    "cache": "cache",
    "sheet": "sheet",
    "log": "log",
    "audit": "audit",
    "store": "store",
}
"""The file of this folder that each command stands in, in the order of ``--help``."""


class CommandsOnDemand(TyperGroup):
    """A group whose commands are imported one at a time, all of them only for its help."""

    def __init__(self, **attributes: Any) -> None:  # noqa: ANN401 - Typer's, handed on as they come
        super().__init__(**attributes)
        self.commands = _Commands(MODULES)


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
    alone = typer.Typer(rich_markup_mode="rich")
    import_module(f"bitewright.cli.{module}").add_to(alone)
    return typer.main.get_group(alone).commands[name]


__all__ = ["CommandsOnDemand"]

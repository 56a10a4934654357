"""Where answers go: a person's screen, or a machine as JSON."""

import json
from typing import Any

import typer
from rich.console import Console
from rich.text import Text

from bitewright.words.caution import CAUTION


def console(*, to_errors: bool = False) -> Console:
    """Where answers go: plain when piped, never guessing at numbers."""
    return Console(highlight=False, stderr=to_errors)


def print_json(document: dict[str, Any]) -> None:
    """One JSON document on standard output."""
    typer.echo(json.dumps(document, indent=2, allow_nan=False))


def caution() -> Text:
    """The words that stand under everything that could lead to an exposure."""
    return Text(CAUTION, style="dim")


__all__ = ["caution", "console", "print_json"]

"""What an option takes, in the help of each command: plain words, not a program's types."""

from typing import Any

from typer.core import TyperArgument, TyperOption

from bitewright.words.wrong_usage import choices_of


def show_plain_types() -> None:
    """From here on help says NUMBER, TEXT, PATH or the words to choose from; of a switch nothing.

    A word to choose from is never broken over two lines, so that it can be typed as shown.
    """
    for kind in (TyperArgument, TyperOption):
        kind.display_type = _plain_type  # type: ignore[method-assign,assignment]


def _plain_type(param: Any, _context: Any) -> str:  # noqa: ANN401 - classes of Typer's own
    if getattr(param, "is_flag", False):
        return ""
    takes = param.type_descriptor
    words = choices_of(takes)
    if words:
        return ", ".join(words)
    kind = str(takes.annotation)
    if "Path" in kind:
        return "PATH"
    return "NUMBER" if "int" in kind or "float" in kind else "TEXT"


__all__ = ["show_plain_types"]

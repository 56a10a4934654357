"""Options that go together, written once as the fields of a dataclass.

A command takes such a dataclass as one parameter; on the command line each of its fields is an
option of its own, in the parameter's place.
"""

import inspect
from collections.abc import Callable, Iterator
from dataclasses import MISSING, fields, is_dataclass
from functools import wraps
from typing import Any, get_type_hints


def grouped(command: Callable[..., None]) -> Callable[..., None]:
    """A command as Typer takes it, each group of options laid out in its options."""
    signature = inspect.signature(command, eval_str=True)
    groups: dict[str, Any] = {
        name: each.annotation
        for name, each in signature.parameters.items()
        if is_dataclass(each.annotation)
    }

    @wraps(command)
    def laid_out(**given: Any) -> None:  # noqa: ANN401 - options of every kind
        gathered = {
            name: group(**{field.name: given.pop(field.name) for field in fields(group)})
            for name, group in groups.items()
        }
        command(**given, **gathered)

    options = [
        option
        for name, each in signature.parameters.items()
        for option in (_options(groups[name]) if name in groups else [each])
    ]
    shown = [option.replace(kind=inspect.Parameter.KEYWORD_ONLY) for option in options]
    laid_out.__signature__ = signature.replace(parameters=shown)  # type: ignore[attr-defined]
    laid_out.__annotations__ = {option.name: option.annotation for option in shown}
    return laid_out


def _options(group: Any) -> Iterator[inspect.Parameter]:  # noqa: ANN401 - a dataclass of any kind
    hints = get_type_hints(group, include_extras=True)
    for field in fields(group):
        default = inspect.Parameter.empty if field.default is MISSING else field.default
        yield inspect.Parameter(
            field.name,
            inspect.Parameter.KEYWORD_ONLY,
            default=default,
            annotation=hints[field.name],
        )


__all__ = ["grouped"]

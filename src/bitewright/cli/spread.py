"""Options that several commands share stand in one object; a command takes the object whole."""

import inspect
from collections.abc import Callable
from dataclasses import MISSING, fields, is_dataclass
from functools import wraps
from typing import Any, get_type_hints

KEYWORD = inspect.Parameter.KEYWORD_ONLY


def spread(command: Callable[..., None]) -> Callable[..., None]:
    """The command as Typer takes it: each object of options is an option for each of its fields.

    An object is a parameter whose type is a dataclass; its options stand where it stood.
    """
    hints = get_type_hints(command, include_extras=True)
    objects: dict[str, type] = {}
    options: list[inspect.Parameter] = []
    for name, parameter in inspect.signature(command).parameters.items():
        hint = hints[name]
        if isinstance(hint, type) and is_dataclass(hint):
            objects[name] = hint
            options += _options(hint)
        else:
            options.append(parameter.replace(annotation=hint, kind=KEYWORD))

    @wraps(command)
    def taken(**given: Any) -> None:  # noqa: ANN401 - what the command line gives
        made = {
            name: of(**{each.name: given.pop(each.name) for each in fields(of)})
            for name, of in objects.items()
        }
        command(**given, **made)

    taken.__signature__ = inspect.Signature(options)  # type: ignore[attr-defined]
    taken.__annotations__ = {option.name: option.annotation for option in options}
    return taken


def _options(of: type) -> list[inspect.Parameter]:
    hints = get_type_hints(of, include_extras=True)
    return [
        inspect.Parameter(
            each.name,
            KEYWORD,
            annotation=hints[each.name],
            default=inspect.Parameter.empty if each.default is MISSING else each.default,
        )
        for each in fields(of)
    ]


__all__ = ["spread"]

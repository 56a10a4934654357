"""A command typed wrongly, told in one sentence: what was given, what is allowed, what to do."""

import re
from typing import Any

from bitewright.errors import plainly, quoted
from bitewright.nearest_name import meant

NO_COMMAND = re.compile(r"No such command '(.*?)'", re.DOTALL)
TOO_MANY = re.compile(r"unexpected extra argument\S* \((.*)\)", re.DOTALL)


def wrong_usage(error: Any) -> str:  # noqa: ANN401 - a class of Typer's own
    """What is wrong with the words of a command, and what to do; a command without any: nothing."""
    if type(error).__name__ == "NoArgsIsHelpError":
        return ""  # the help has been printed
    command = f"`{error.ctx.command_path}`" if error.ctx else "The command"
    help_of = f"`{error.ctx.command_path} --help`" if error.ctx else "`--help` behind the command"
    param = getattr(error, "param", None)
    if param is not None and type(error).__name__ == "MissingParameter":
        to_give = _allowed(param) or f"give it, as {help_of} shows"
        return f"{command} needs {_name(param)}{_meaning(param)}: {to_give}."
    if param is not None:
        to_give = _allowed(param) or f"{help_of} tells what is"
        return f"{_name(param)} {_given(error)}: {to_give}.{_meant(error, param)}"
    return _wrong_words(error, command, help_of)


def _wrong_words(error: Any, command: str, help_of: str) -> str:  # noqa: ANN401 - a class of Typer's own
    """What is wrong where no parameter is to blame."""
    option = str(getattr(error, "option_name", None) or "")
    unknown, extra = (each.search(str(error.message)) for each in (NO_COMMAND, TOO_MANY))
    if unknown and error.ctx:
        near = meant(unknown[1], error.ctx.command.list_commands(error.ctx))
        return f"{command} has no command {quoted(unknown[1])}: {help_of} lists them.{near}"
    if extra:
        given = quoted(extra[1])
        return f"{command} has no use for {given}: leave it out, or see {help_of}."
    if option and type(error).__name__ == "NoSuchOption" and error.ctx:
        known = [word for each in error.ctx.command.params for word in each.opts]
        bare = {word.lstrip("-"): word for word in known if word.startswith("--")}
        near = meant(option.lstrip("-"), bare).replace("'", "'--", 1)
        return f"{command} has no option {plainly(option)}: {help_of} lists them.{near}"
    if option:
        return f"{plainly(option)} is not given as it should be: {help_of} tells what goes with it."
    return f"{command} cannot be run so: {help_of} tells what it takes."


def _name(param: Any) -> str:  # noqa: ANN401 - a class of Typer's own
    """A parameter as its help calls it."""
    if param.param_type_name == "argument":
        return str(param.metavar or param.name).upper()
    return str(next((word for word in param.opts if word.startswith("--")), param.opts[0]))


def _meaning(param: Any) -> str:  # noqa: ANN401 - a class of Typer's own
    """What a parameter is, in brackets, as its help has it."""
    said = " ".join((getattr(param, "help", None) or "").split()).rstrip(".")
    return f" ({said})" if said else ""


def _given(error: Any) -> str:  # noqa: ANN401 - a class of Typer's own
    value = _value(error)
    return "cannot be that" if value is None else f"is {quoted(value)}, which is not allowed"


def _value(error: Any) -> Any:  # noqa: ANN401 - whatever was given
    """What was given, or None where the error does not keep it."""
    told = getattr(error.__cause__, "errors", None)
    return told()[0].get("input") if told else None


def _allowed(param: Any) -> str:  # noqa: ANN401 - a class of Typer's own
    """What to give for a parameter that takes words or numbers; of others nothing."""
    takes = getattr(param, "type_descriptor", None)
    choices = choices_of(takes)
    if choices:
        return f"give one of {', '.join(choices)}"
    kind = "" if takes is None else str(takes.annotation)
    if "int" not in kind and "float" not in kind:
        return ""
    number = "a whole number" if "int" in kind else "a number"
    low, high = getattr(param, "min", None), getattr(param, "max", None)
    if low is not None and high is not None:
        return f"give {number} from {low} to {high}"
    return f"give {number}" if low is None else f"give {number} from {low} on"


def _meant(error: Any, param: Any) -> str:  # noqa: ANN401 - a class of Typer's own
    value = _value(error)
    choices = choices_of(getattr(param, "type_descriptor", None))
    return meant(value, choices) if choices and value is not None else ""


def choices_of(takes: Any) -> list[str]:  # noqa: ANN401 - a class of Typer's own
    """The words a parameter may be, if it takes some of a list."""
    if takes is None or not takes.is_choice:
        return []
    return [str(getattr(each, "value", each)) for each in takes.choices or ()]


__all__ = ["choices_of", "wrong_usage"]

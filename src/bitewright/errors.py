"""The base of every failure Bitewright explains to a person, and how it quotes what was given.

Each way to fail has its own class beside the code that raises it. A message says what was given,
what is allowed and what to do. Surfaces translate the base class once: the command line to one
sentence and exit status 1, the web to a 4xx answer. Anything else is a bug and shows a traceback.
"""

import re
from collections.abc import Iterable
from reprlib import Repr

MOST_QUOTED = 60
"""So many characters of what was given are said back. Our choice."""

MOST_OF_A_PATH = 240
"""A word longer than this, which only a path or nonsense can be, is cut short. Our choice."""

MOST_LISTED = 12
"""So many names out of somebody's own file are listed. Our choice."""


class BitewrightError(Exception):
    """Base of all failures that a user's input can cause.

    Its message is one line of characters that can be printed, whatever it was made of, without a
    word that has no end.
    """

    def __init__(self, message: str) -> None:
        super().__init__(_TOO_LONG.sub(r"\1...", _on_one_line(message)))


class ExtraMissingError(BitewrightError):
    """Libraries that only some need, and that are not installed."""

    def __init__(self, what: str, missing: list[str], *, extra: str) -> None:
        self.missing = missing
        self.extra = extra
        super().__init__(
            f"{what} need {', '.join(missing)}, not installed here: "
            f"`pip install 'bitewright[{extra}]'` brings what is missing."
        )


def quoted(given: object) -> str:
    """What was given, as a sentence says it back: text in quotes, anything else as Python has it.

    Returns
    -------
    str
        At most 60 characters, without the quotes; all can be printed and stand on one line.
    """
    if isinstance(given, str):
        return f"'{plainly(given)}'"
    return plainly(_BRIEF.repr(given))


def plainly(text: str) -> str:
    """Text to be said back without quotes, such as a name: as `quoted`."""
    told = _printable(text[: MOST_QUOTED + 1])
    return told if len(told) <= MOST_QUOTED else f"{told[: MOST_QUOTED - 3]}..."


def listed_plainly(names: Iterable[object]) -> str:
    """Names out of somebody's own file with commas between: the first twelve, each as `quoted`."""
    known = list(names)
    more = f" and {len(known) - MOST_LISTED} more" if len(known) > MOST_LISTED else ""
    return ", ".join(plainly(str(name)) for name in known[:MOST_LISTED]) + more


def _on_one_line(text: str) -> str:
    if text.isprintable():
        return text
    return _printable(" ".join(text.splitlines()).replace("\t", " "))


def _printable(text: str) -> str:
    """Text whose characters that cannot be printed are written as Python writes them."""
    if text.isprintable():
        return text
    return "".join(each if each.isprintable() else repr(each)[1:-1] for each in text)


_TOO_LONG = re.compile(rf"(\S{{{MOST_QUOTED}}})\S{{{MOST_OF_A_PATH - MOST_QUOTED},}}")

_BRIEF = Repr()
_BRIEF.maxstring = _BRIEF.maxother = _BRIEF.maxlong = MOST_QUOTED
_BRIEF.maxdict = _BRIEF.maxlist = _BRIEF.maxtuple = 4

__all__ = ["BitewrightError", "ExtraMissingError", "listed_plainly", "plainly", "quoted"]

"""Films made again that a list beside the films of a visit tells of, each with its own outcome."""

import re
from collections.abc import Mapping, Sequence

from bitewright.sheets.cells import Cell, cell_text, plain
from bitewright.sheets.vocabulary import meanings, words_of

KIND = "Kind"
"""Heading given to what tells a second film from a first one."""
PIECES = re.compile(r"\s*[,;]\s*")


def with_second(
    cells: Mapping[str, Cell], again: str, told: Sequence[str], result: str
) -> list[dict[str, Cell]]:
    """The film of some cells, and the one made in its place where ``again`` says how that came out.

    ``told``: headings of lists and of remarks; a part of one that begins with a word for a repeat
    is of the second film. ``result``: the heading of the outcome.
    """
    if not again:
        return [dict(cells)]
    first, second = dict(cells), {**cells, result: again, KIND: "retake"}
    for name in told:
        text = cell_text(cells.get(name))
        parts = _of_each(text)
        if text == "yes":
            second.pop(name, None)
            continue
        for film, part in zip((first, second), parts, strict=True):
            film.pop(name, None)
            if part:
                film[name] = part
    return [first, second]


def _of_each(text: str) -> tuple[str, str]:
    """What a remark says of a first film, and what of the second one."""
    first: list[str] = []
    second: list[str] = []
    for piece in filter(None, PIECES.split(text)):
        word, _, rest = piece.partition(" ")
        is_second = rest and _is_second(plain(word))
        (second if is_second else first).append(rest if is_second else piece)
    return ", ".join(first), ", ".join(second)


def _is_second(word: str) -> bool:
    if not word:
        return False
    return meanings("kinds").get(word) == "retake" or word in words_of("attempts", "second")


__all__ = ["KIND", "with_second"]

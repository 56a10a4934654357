"""What a page says: its tables by the name in the comment before them, and its sentences."""

import re
from functools import cache

from tests.repository.sources import TOP

NUMBER = re.compile(r"[-+]?\d[\d,]*(?:\.\d+)?")
TABLE = re.compile(
    r"^<!-- (?P<name>[^:>]+): written by .*?-->\n(?P<made>.*?)^<!-- end -->",
    re.MULTILINE | re.DOTALL,
)


@cache
def page(name: str) -> str:
    """A page's text, README.md or one of docs."""
    return (TOP / name).read_text(encoding="utf-8")


@cache
def prose(name: str) -> str:
    """A page without its written tables, on one line, so that a sentence may run over several."""
    return " ".join(TABLE.sub("", page(name)).split())


@cache
def rows(name: str, table: str) -> tuple[tuple[str, ...], ...]:
    """A written table's rows below its heading, each cell without blanks."""
    (made,) = (hit["made"] for hit in TABLE.finditer(page(name)) if hit["name"] == table)
    return rows_of(made)


def rows_under(name: str, heading: str) -> tuple[tuple[str, ...], ...]:
    """Rows of the first table whose heading begins so, on a page that is written whole."""
    _, found, rest = page(name).partition(f"\n| {heading}")
    assert found, f"{name} has no table headed {heading!r}"
    return rows_of(found + rest.partition("\n\n")[0])


def rows_of(made: str) -> tuple[tuple[str, ...], ...]:
    """Rows of the table in some lines."""
    lines = [line.strip() for line in made.splitlines() if line.startswith("|")]
    cells = [tuple(cell.strip() for cell in line.strip("|").split("|")) for line in lines]
    return tuple(cells[2:])


def row(name: str, table: str, *first: str) -> tuple[str, ...]:
    """The one row that begins with these cells."""
    (found,) = (each for each in rows(name, table) if each[: len(first)] == first)
    return found


def numbers(text: str) -> list[float]:
    """All numbers in some text, in order: ``"+0.7 (+0.5 to +0.9)"`` has three."""
    return [float(hit.replace(",", "")) for hit in NUMBER.findall(text)]


def said(name: str, sentence: str) -> list[float]:
    """The numbers that a page says where it says this; ``#`` stands for a number.

    Raises
    ------
    AssertionError
        If the page says it nowhere, or more than once.
    """
    pattern = re.escape(sentence).replace(r"\#", rf"({NUMBER.pattern})")
    found = re.findall(pattern.replace(r"\ ", " "), prose(name))
    assert len(found) == 1, f"{name} says it {len(found)} times: {sentence}"
    hit = found[0] if isinstance(found[0], tuple) else (found[0],)
    return [float(each.replace(",", "")) for each in hit]

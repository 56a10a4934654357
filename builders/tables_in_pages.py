"""Tables that are written into a page kept by hand, between the comments that mark them."""

from collections.abc import Mapping
from pathlib import Path

START, END = "<!-- {}: ", "<!-- end -->"


class MissingPlaceError(Exception):
    """A page does not say where a table belongs."""

    def __init__(self, page: Path, name: str) -> None:
        super().__init__(
            f"{page.name} has no place for the table of {name}: put its comments back."
        )


def write_tables(page: Path, tables: Mapping[str, str], *, said: str) -> None:
    """Write tables into a page anew; none if it has no place for one of them.

    Parameters
    ----------
    page : Path
    tables : mapping of a table's name to its lines
    said : str
        What the comment before each says after its name: who wrote it, and of what.

    Raises
    ------
    MissingPlaceError
    """
    text = page.read_text(encoding="utf-8")
    for name, made in tables.items():
        before, found, rest = text.partition(START.format(name))
        _, end, after = rest.partition(END)
        if not (found and end):
            raise MissingPlaceError(page, name)
        text = f"{before}{found}{said} -->\n\n{made.rstrip()}\n\n{END}{after}"
    page.write_text(text, encoding="utf-8")

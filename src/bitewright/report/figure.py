"""One figure of a report: a drawing, what it shows in words, and the numbers behind it."""

from dataclasses import dataclass

Cell = str | int | float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """A drawing with its words and its data.

    Parameters
    ----------
    name : str
        Short, for file names.
    title, says : str
        Heading, and how to read it.
    svg : str
        The drawing; empty for a table alone.
    alt : str
        What a reader who cannot see it should know.
    header, rows
        The data, as written to CSV.
    shown : bool
        Whether the data are printed as a table under the drawing.
    """

    name: str
    title: str
    says: str
    svg: str
    alt: str
    header: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    shown: bool = False


__all__ = ["Cell", "Figure"]

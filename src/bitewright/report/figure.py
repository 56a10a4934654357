"""One figure of a report: a drawing, what it shows in words, and the numbers behind it."""

from dataclasses import dataclass

from bitewright.report.shapes import Drawing

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
    drawing : Drawing or None
        None for a table alone.
    header, rows
        The data, as written to CSV.
    shown : bool
        Whether the data are printed as a table under the drawing.
    """

    name: str
    title: str
    says: str
    drawing: Drawing | None
    header: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    shown: bool = False


__all__ = ["Cell", "Figure"]

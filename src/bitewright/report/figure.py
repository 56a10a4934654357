"""One figure of a report: a drawing, what it shows in words, and the numbers behind it."""

from dataclasses import dataclass

from bitewright.report.shapes import Drawing

Cell = str | int | float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ExampleFilm:
    """A film that shows what a figure tells of, named by its fault alone.

    Parameters
    ----------
    title, caption, alt : str
        The fault, what is wrong in a sentence, and what the picture is for who cannot see it.
    png : bytes
        The picture, drawn afresh.
    """

    title: str
    caption: str
    alt: str
    png: bytes


@dataclass(frozen=True, slots=True, kw_only=True)
class FilmsShown:
    """Example films beside a figure, and what is to be known of them; none by default."""

    films: tuple[ExampleFilm, ...] = ()
    heading: str = ""
    says: str = ""


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
    examples : FilmsShown
    """

    name: str
    title: str
    says: str
    drawing: Drawing | None
    header: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    shown: bool = False
    examples: FilmsShown = FilmsShown()


__all__ = ["Cell", "ExampleFilm", "Figure", "FilmsShown"]

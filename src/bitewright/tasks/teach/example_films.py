"""Example films for the faults that a report tells of: from one's own exercises, when asked for.

What is kept as an exercise has consent noted and was looked through for names (`keep_own_film`).
"""

from collections.abc import Sequence
from dataclasses import dataclass

from bitewright.audit.faults import FaultCount
from bitewright.errors import BitewrightError, quoted
from bitewright.report.figure import ExampleFilm, FilmsShown
from bitewright.report.film_png import film_png_again
from bitewright.tasks.teach.own_exercises import OwnExercise, own_exercises
from bitewright.words.audit_examples import (
    EXAMPLES_HEADING,
    EXAMPLES_SAY,
    example_alt,
    example_caption,
    example_title,
    examples_shown,
    none_shown,
)

MOST_FAULTS = 3
"""Of the most frequent faults, so many are looked for an example of. Our choice."""
MOST_FILMS = 2
"""Films in a report. Our choice."""
WIDEST_PX = 900
"""A film is shown at most this wide. Our choice. [px]"""


class KeptFilmUnreadableError(BitewrightError):
    """The picture of an exercise of one's own is no picture any more."""

    def __init__(self, name: str) -> None:
        super().__init__(
            f"The film of the exercise {quoted(name)} is damaged: drop it (`bitewright teach own "
            f"drop {name}`) and keep it again, or write the report without --examples."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Examples:
    """Example films, and what to tell who asked for them."""

    shown: FilmsShown
    says: str


def example_films(faults: Sequence[FaultCount]) -> Examples:
    """Up to two films: of the most frequent fault first, then of the next ones.

    Parameters
    ----------
    faults : sequence of FaultCount
        The most frequent first.

    Raises
    ------
    FileUnreadableError, NotJsonError, DocumentFormatError, SchemaViolationError
        If what is kept cannot be read, or its consent is not noted.
    KeptFilmUnreadableError
    """
    kept = own_exercises()
    frequent = [each.label for each in faults[:MOST_FAULTS]]
    names = _chosen(kept, frequent)
    films = tuple(_film(kept[name]) for name in names)
    return Examples(
        shown=FilmsShown(films=films, heading=EXAMPLES_HEADING, says=EXAMPLES_SAY),
        says=examples_shown(names) if names else none_shown(len(kept), frequent),
    )


def _chosen(kept: dict[str, OwnExercise], frequent: Sequence[str]) -> list[str]:
    """A film of each fault in turn, those first that are read as that fault above all."""
    of_each = [
        [
            *(name for name, each in kept.items() if each.faults[0] == fault),
            *(name for name, each in kept.items() if fault in each.faults[1:]),
        ]
        for fault in frequent
    ]
    longest = max((len(names) for names in of_each), default=0)
    in_turn = [names[k] for k in range(longest) for names in of_each if k < len(names)]
    return list(dict.fromkeys(in_turn))[:MOST_FILMS]


def _film(of: OwnExercise) -> ExampleFilm:
    """Named by its faults alone: who read it, when, and what they wrote of it stays out."""
    try:
        png = film_png_again(of.film_png, most_px=WIDEST_PX)
    except OSError as error:
        raise KeptFilmUnreadableError(of.name) from error
    return ExampleFilm(
        title=example_title(of.faults),
        caption=example_caption(of.faults),
        alt=example_alt(of.faults),
        png=png,
    )


__all__ = ["Examples", "KeptFilmUnreadableError", "example_films"]

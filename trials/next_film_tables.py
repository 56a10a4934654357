"""Tables of what the next film shows where the advice is followed, or the view set up anew."""

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from bitewright.explanation.correction import Part
from bitewright.explanation.known_accuracy import view_kind
from bitewright.explanation.next_exposure import Course
from bitewright.quality.views import view
from trials.explained_films import VIEWS, ExplainedFilm
from trials.next_films import Way, is_told

Films = Sequence[ExplainedFilm]
Floats = NDArray[np.float64]

OFF_DEG = 5.0
"""Of films off by more than this it is asked what advice is worth."""

ENDS = 1.96


def next_film_table(films: Films) -> str:
    """How often a movement is told of films whose swing was off, and what it is worth there."""
    heads = (
        "films",
        f"off by more than {OFF_DEG:.0f} degrees",
        "a movement is told",
        "followed",
        "set up anew",
        "followed less anew",
        "of what the question needs, less anew",
        "set up anew is told",
    )
    return _by_view(heads, _told_row, films)


def every_next_film_table(films: Films) -> str:
    """Contacts readable on the next film of films whose swing was off, whatever is told."""
    heads = (
        "films",
        "the same way",
        "every movement needed",
        "mouth estimated",
        "set up anew",
        "advice followed",
        "mouth known",
        "advice less anew",
        "of what the question needs, less anew",
        "known less anew",
    )
    return _by_view(heads, _every_row, films)


def told(film: ExplainedFilm) -> bool:
    """Whether a movement is told with its amount."""
    return film.course is Course.MOVED


def off_enough(films: Films) -> list[ExplainedFilm]:
    """Those whose swing was off, of which it is known what comes next."""
    return [each for each in films if each.readable and abs(each.true[Part.SWING]) > OFF_DEG]


def better_by(films: Films, way: Way, *, of_question: bool = False) -> Floats:
    """Points of a hundred by which more can be read than set up anew, a film."""
    return 100.0 * (
        _shares(films, way, of_question=of_question)
        - _shares(films, Way.ANEW, of_question=of_question)
    )


def ends_of(better: Floats) -> tuple[float, float]:
    """95% interval of a mean difference."""
    either = ENDS * better.std(ddof=1) / np.sqrt(len(better))
    return float(better.mean() - either), float(better.mean() + either)


def _by_view(heads: Sequence[str], row: Callable[[str, Films], str], films: Films) -> str:
    off = off_enough(films)
    lines = [f"| {' | '.join(heads)} |", "| --- " * len(heads) + "|"]
    lines += [
        row(view_kind(view(name).region), [each for each in off if each.view == name])
        for name in VIEWS
    ]
    return "\n".join([*lines, row("all", off)])


def _told_row(label: str, off: Films) -> str:
    own = [each for each in off if told(each)]
    anew = np.mean([each.course in (Course.ANEW, None) for each in off]) if off else 0.0
    if not own:
        return f"| {label} | {len(off)} | none | | | | | {anew:.1%} |"
    return (
        f"| {label} | {len(off)} | {len(own) / len(off):.1%} | {_mean(own, Way.ADVISED)} | "
        f"{_mean(own, Way.ANEW)} | {_with_ends(better_by(own, Way.ADVISED))} | "
        f"{_with_ends(better_by(own, Way.ADVISED, of_question=True))} | {anew:.1%} |"
    )


def _every_row(label: str, off: Films) -> str:
    own = [each for each in off if Way.ADVISED in each.readable]
    if not own:
        return f"| {label} |" + " |" * 9
    sure = [each for each in own if is_told(each.verdict, is_unlike=each.is_unlike)]
    means = " | ".join(
        (
            _mean(own, Way.SAME),
            _mean(sure, Way.FOLLOWED) if sure else "",
            *(_mean(own, way) for way in (Way.LEARNED, Way.ANEW, Way.ADVISED, Way.KNOWN)),
        )
    )
    better = " | ".join(
        (
            _with_ends(better_by(own, Way.ADVISED)),
            _with_ends(better_by(own, Way.ADVISED, of_question=True)),
            _with_ends(better_by(own, Way.KNOWN)),
        )
    )
    return f"| {label} ({len(own)}) | {means} | {better} |"


def _shares(films: Films, way: Way, *, of_question: bool = False) -> Floats:
    return np.array(
        [
            each.readable[way].of_question if of_question else each.readable[way].of_view
            for each in films
        ]
    )


def _mean(films: Films, way: Way) -> str:
    return f"{_shares(films, way).mean():.1%}"


def _with_ends(better: Floats) -> str:
    """Mean difference in points of a hundred, with its 95% interval where there are two."""
    if len(better) == 1:
        return f"{better[0]:+.1f}"
    low, high = ends_of(better)
    return f"{better.mean():+.1f} ({low:+.1f} to {high:+.1f})"


__all__ = [
    "better_by",
    "ends_of",
    "every_next_film_table",
    "next_film_table",
    "off_enough",
    "told",
]

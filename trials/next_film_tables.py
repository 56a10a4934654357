"""Table of what the next film shows where the advice is followed, or the view set up anew."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from bitewright.explanation.correction import Need, Part
from bitewright.explanation.known_accuracy import view_kind
from bitewright.quality.views import view
from trials.explained_films import VIEWS, ExplainedFilm
from trials.next_films import Way, is_told

Films = Sequence[ExplainedFilm]
Floats = NDArray[np.float64]

OFF_DEG = 5.0
"""Of films off by more than this it is asked what advice is worth."""

ENDS = 1.96


def next_film_table(films: Films) -> str:
    """Contacts readable on the next film, of films whose swing was off, by how it comes about."""
    off = [each for each in films if each.readable and abs(each.true[Part.SWING]) > OFF_DEG]
    heads = ("films", f"off by more than {OFF_DEG:.0f} degrees", "a movement is told", "the swing")
    more = ("followed", "mouth estimated", "set up anew", "mouth known")
    less = ("followed less anew", "estimated less anew", "known less anew")
    lines = [f"| {' | '.join((*heads, *more, *less))} |", "| --- " * 11 + "|"]
    lines += [
        _row(view_kind(view(name).region), [each for each in off if each.view == name])
        for name in VIEWS
    ]
    return "\n".join([*lines, _row("all", off)])


def told(film: ExplainedFilm) -> bool:
    """Whether a movement is told with its amount."""
    return is_told(film.verdict, is_unlike=film.is_unlike)


def _row(label: str, off: Films) -> str:
    own = [each for each in off if told(each)]
    if not own:
        return f"| {label} | {len(off)} | none | none | | | | | | | |"
    swing = np.mean([told(each) and each.needs[Part.SWING] is Need.MOVE for each in off])
    shares = {way: np.array([each.readable[way] for each in own]) for way in Way}
    means = " | ".join(f"{shares[way].mean():.1%}" for way in Way)
    better = " | ".join(
        _with_ends(shares[way] - shares[Way.ANEW]) for way in (Way.FOLLOWED, Way.LEARNED, Way.KNOWN)
    )
    return (
        f"| {label} | {len(off)} | {len(own) / len(off):.1%} | {swing:.1%} | {means} | {better} |"
    )


def _with_ends(better: Floats) -> str:
    """Mean difference in points of a hundred, with its 95% interval where there are two."""
    mean = 100.0 * better.mean()
    if len(better) == 1:
        return f"{mean:+.1f}"
    either = 100.0 * ENDS * better.std(ddof=1) / np.sqrt(len(better))
    return f"{mean:+.1f} ({mean - either:+.1f} to {mean + either:+.1f})"


__all__ = ["next_film_table", "told"]

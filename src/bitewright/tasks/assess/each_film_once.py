"""That films which are read together are different ones: one that counts twice makes too sure."""

from collections.abc import Sequence
from itertools import combinations

from bitewright.errors import BitewrightError
from bitewright.estimation.mouth_belief import MouthBelief
from bitewright.marking.marks import MarkedFilm
from bitewright.visit.sorted_films import is_same_image


class FilmReadTwiceError(BitewrightError):
    """One film was given twice to be read together, marked alike or by two people."""

    def __init__(self, name: str) -> None:
        super().__init__(
            f"{name} is given twice: two sets of marks of one film are no two films, and it would "
            "count double. Give each film once, and assess another person's marks by themselves."
        )


class FilmLearnedBeforeError(BitewrightError):
    """A film is read with a belief that it has taught itself."""

    def __init__(self, name: str) -> None:
        super().__init__(
            f"{name} has taught this belief already, and would count double: leave --belief out, "
            "or give the belief from before this film."
        )


def check_each_once(films: Sequence[MarkedFilm], belief: MouthBelief | None) -> None:
    """Refuse a film that is given twice, or that a belief was learned from.

    Parameters
    ----------
    films : sequence of MarkedFilm
        The film, and those read together with it.
    belief : MouthBelief or None
        What earlier films taught.

    Raises
    ------
    FilmReadTwiceError
    FilmLearnedBeforeError
    """
    for one, other in combinations(films, 2):
        if is_same_image(one, other):
            raise FilmReadTwiceError(one.image_name)
    learned = () if belief is None else belief.learned_from
    for each in films:
        if each.image_sha256 in learned:
            raise FilmLearnedBeforeError(each.image_name)


def digests(films: Sequence[MarkedFilm]) -> tuple[str, ...]:
    """By what films are known again, of those whose marks say it."""
    return tuple(each.image_sha256 for each in films if each.image_sha256)


__all__ = ["FilmLearnedBeforeError", "FilmReadTwiceError", "check_each_once", "digests"]

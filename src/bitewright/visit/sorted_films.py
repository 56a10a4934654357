"""Marked films sorted into visits: one patient, one day, each film once; the rest set aside."""

from collections.abc import Sequence
from dataclasses import dataclass

from bitewright.errors import BitewrightError
from bitewright.marking.marks import MarkedFilm
from bitewright.visit.film_evidence import FilmOfVisit, film_evidence


@dataclass(frozen=True, slots=True, kw_only=True)
class SetAside:
    """A film that no ledger counts, and why, in a sentence."""

    name: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FilmsOfVisit:
    """Films of one patient and day, each once; None where no film says it."""

    patient: str | None
    taken_on: str | None
    films: tuple[FilmOfVisit, ...]


class TwiceMarkedError(BitewrightError):
    """One image was given with two different sets of marks."""

    def __init__(self, first: str, second: str) -> None:
        super().__init__(
            f"{first} and {second} are different marks of one image: give one of them."
        )


class SameFilmError(BitewrightError):
    """A film was given twice, with the same marks."""

    def __init__(self, first: str) -> None:
        self.first = first
        super().__init__(f"It is the same film as {first}: counted once.")


class NotSaidError(BitewrightError):
    """A film does not say whose it is or of which day, where others do."""

    def __init__(self, lacks: Sequence[str]) -> None:
        self.lacks = tuple(lacks)
        fields = " and ".join(lacks)
        super().__init__(
            f"Other films say {fields}, its marks do not: write {fields} into its marks, or leave "
            "it out."
        )


def sorted_films(
    films: Sequence[FilmOfVisit],
) -> tuple[tuple[FilmsOfVisit, ...], tuple[SetAside, ...]]:
    """Visits by patient and day, and what was set aside; the order given changes nothing.

    A film says its patient and day in its marks. Where some say one of the two, those that do not
    are set aside; where none does, whoever gave the films says that they belong together.

    Raises
    ------
    TwiceMarkedError
    """
    aside: list[SetAside] = []
    usable = []
    for film in sorted(films, key=lambda each: each.name):
        try:
            film_evidence(film)
        except BitewrightError as error:
            aside.append(SetAside(name=film.name, why=str(error)))
        else:
            usable.append(film)
    once = _each_once(usable, aside)
    says_patient = any(film.marks.patient for film in once)
    says_day = any(film.marks.taken_on for film in once)
    groups: dict[tuple[str | None, str | None], list[FilmOfVisit]] = {}
    for film in once:
        lacks = [
            what
            for what, is_said, own in (
                ("patient", says_patient, film.marks.patient),
                ("taken_on", says_day, film.marks.taken_on),
            )
            if is_said and not own
        ]
        if lacks:
            aside.append(SetAside(name=film.name, why=str(NotSaidError(lacks))))
        else:
            groups.setdefault((film.marks.patient, film.marks.taken_on), []).append(film)
    ordered = sorted(groups.items(), key=lambda each: (each[0][0] or "", each[0][1] or ""))
    visits = tuple(
        FilmsOfVisit(patient=patient, taken_on=day, films=tuple(some))
        for (patient, day), some in ordered
    )
    return visits, tuple(aside)


def _each_once(films: Sequence[FilmOfVisit], aside: list[SetAside]) -> list[FilmOfVisit]:
    kept: list[FilmOfVisit] = []
    for film in films:
        same = next((other for other in kept if is_same_image(film.marks, other.marks)), None)
        if same is None:
            kept.append(film)
        elif film.marks.marks == same.marks.marks and film.view == same.view:
            aside.append(SetAside(name=film.name, why=str(SameFilmError(same.name))))
        else:
            raise TwiceMarkedError(same.name, film.name)
    return kept


def is_same_image(one: MarkedFilm, other: MarkedFilm) -> bool:
    """By its digest where both have one; else by every mark's place, which no two films share."""
    if one.image_sha256 and one.image_sha256 == other.image_sha256:
        return True
    return (one.columns, one.rows, one.marks) == (other.columns, other.rows, other.marks)


__all__ = ["FilmsOfVisit", "SetAside", "TwiceMarkedError", "is_same_image", "sorted_films"]

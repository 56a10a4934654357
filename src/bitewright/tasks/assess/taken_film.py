"""Marks of a film with the view and the receptor that they name, looked up once."""

from dataclasses import dataclass
from pathlib import Path

from bitewright.equipment.catalogue import Catalogue
from bitewright.equipment.receptors import Receptor
from bitewright.errors import BitewrightError
from bitewright.files.marks_file import read_marks
from bitewright.marking.marks import MarkedFilm, NumbersSaid
from bitewright.quality.views import View, view
from bitewright.words.proposals import unconfirmed_marks, unconfirmed_numbers


class UnconfirmedMarksError(BitewrightError):
    """Marks were proposed, and nobody has looked at them."""

    def __init__(self, where: str, count: int, *, on_page: bool = False) -> None:
        self.count = count
        super().__init__(unconfirmed_marks(where, count, on_page=on_page))


class UnconfirmedNumbersError(BitewrightError):
    """Teeth were proposed, and nobody has said that they are numbered right."""

    def __init__(self, where: str, *, on_page: bool = False) -> None:
        super().__init__(unconfirmed_numbers(where, on_page=on_page))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class TakenFilm:
    """A marked film, what it was taken for, and with which receptor; None where nobody says."""

    marks: MarkedFilm
    view: View
    receptor: Receptor | None


def taken_film(marks: MarkedFilm, known: Catalogue, *, receptor: str | None = None) -> TakenFilm:
    """A marked film's view and receptor by name; ``receptor`` goes before the marks' own.

    Raises
    ------
    UnknownViewError, UnknownEquipmentError
    """
    name = receptor or marks.receptor
    return TakenFilm(
        marks=marks, view=view(marks.view), receptor=known.receptor(name) if name else None
    )


def looked_at(
    marks: MarkedFilm, where: str, *, confirmed: bool = False, on_page: bool = False
) -> MarkedFilm:
    """These marks, if a person set or looked at each of them and their numbers, or says so for all.

    ``on_page``: what is said stands on a page, where nothing can be passed.

    Raises
    ------
    UnconfirmedMarksError, UnconfirmedNumbersError
    """
    if confirmed or is_looked_at(marks):
        return marks
    if marks.unconfirmed:
        raise UnconfirmedMarksError(where, len(marks.unconfirmed), on_page=on_page)
    raise UnconfirmedNumbersError(where, on_page=on_page)


def is_looked_at(marks: MarkedFilm) -> bool:
    """Whether no mark is only proposed, and the numbers of proposed teeth wait for no answer."""
    return not marks.unconfirmed and marks.numbers is not NumbersSaid.ASKED


def read_taken_film(
    path: Path, known: Catalogue, *, receptor: str | None = None, confirmed: bool = False
) -> TakenFilm:
    """The marked film of a marks file; errors as `taken_film`, `looked_at` and `read_marks`.

    ``confirmed``: a person says to have looked at every mark that was proposed.
    """
    marks = looked_at(read_marks(path), str(path), confirmed=confirmed)
    return taken_film(marks, known, receptor=receptor)


__all__ = [
    "TakenFilm",
    "UnconfirmedMarksError",
    "UnconfirmedNumbersError",
    "is_looked_at",
    "looked_at",
    "read_taken_film",
    "taken_film",
]

"""Marks of a film with the view and the receptor that they name, looked up once."""

from dataclasses import dataclass
from pathlib import Path

from bitewright.equipment.catalogue import Catalogue
from bitewright.equipment.receptors import Receptor
from bitewright.files.marks_file import read_marks
from bitewright.marking.marks import MarkedFilm
from bitewright.quality.views import View, view


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


def read_taken_film(path: Path, known: Catalogue, *, receptor: str | None = None) -> TakenFilm:
    """The marked film of a marks file; errors as `taken_film` and `read_marks`."""
    return taken_film(read_marks(path), known, receptor=receptor)


__all__ = ["TakenFilm", "read_taken_film", "taken_film"]

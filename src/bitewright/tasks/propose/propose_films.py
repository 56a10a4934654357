"""Propose marks on many films, and write them beside the films."""

import os
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from bitewright import __version__
from bitewright.equipment.catalogue import Catalogue
from bitewright.errors import BitewrightError, ExtraMissingError
from bitewright.files.marks_file import write_marks
from bitewright.steps import Begin, Expect, uncounted, unwatched
from bitewright.tasks.assess.decoded_film import read_film
from bitewright.tasks.assess.new_marks import MARKS_ENDING, AlreadyThereError
from bitewright.tasks.propose.propose_marks import Known, ProposedMarks, propose_marks
from bitewright.words.proposals import no_films_words, no_folder_words, of_films_words

PROPOSALS_FORMAT = "bitewright.proposals/1"
FILM_ENDINGS = frozenset({".png", ".tif", ".tiff", ".jpg", ".jpeg", ".dcm", ".dicom"})


class NoFilmInFolderError(BitewrightError):
    """A folder holds no film."""

    def __init__(self, folder: Path) -> None:
        super().__init__(no_films_words(str(folder)))


class NoFolderForMarksError(BitewrightError):
    """The folder that marks files are to be written to is not there, or may not be written to."""

    def __init__(self, folder: Path) -> None:
        super().__init__(no_folder_words(str(folder)))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ProposedFile:
    """What became of one film.

    Parameters
    ----------
    film : Path
    proposed : ProposedMarks or None
    written : Path or None
        The marks file.
    failed : str
        Why it could not be read or written; else empty.
    """

    film: Path
    proposed: ProposedMarks | None = None
    written: Path | None = None
    failed: str = ""

    @property
    def sentences(self) -> tuple[str, ...]:
        """What is to be said of it."""
        return (self.failed,) if self.proposed is None else self.proposed.sentences

    def document(self) -> dict[str, Any]:
        """As data for machines."""
        return {
            "film": str(self.film),
            "written": None if self.written is None else str(self.written),
            "failed": self.failed or None,
            "proposal": None if self.proposed is None else self.proposed.document(),
        }


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ProposedFiles:
    """What became of all films, those that most need looking at first."""

    films: tuple[ProposedFile, ...]

    @property
    def sentence(self) -> str:
        """On how many of the films marks are proposed."""
        return of_films_words(len(self.films), sum(each.written is not None for each in self.films))

    def document(self) -> dict[str, Any]:
        """As data for machines."""
        return {
            "format": PROPOSALS_FORMAT,
            "version": __version__,
            "says": self.sentence,
            "films": [each.document() for each in self.films],
        }


def propose_films(
    paths: Sequence[Path],
    known: Catalogue,
    told: Known,
    *,
    out: Path | None = None,
    begin: Begin = unwatched,
    expect: Expect = uncounted,
) -> ProposedFiles:
    """Propose marks on films and folders of films; each film's in a marks file of its own.

    Marks files that are already there are never changed.

    Parameters
    ----------
    paths : sequence of Path
    known : Catalogue
    told : Known
        Of all of them.
    out : Path, optional
        The folder for marks files; beside each film if left out.
    begin, expect : callables
        Told of each film.

    Raises
    ------
    NoFolderForMarksError
        If ``out`` is no folder that may be written to; before any film is read.
    NoFilmInFolderError
        If a folder holds no film.
    UnknownEquipmentError
    ExtraMissingError
        If what runs the network is not installed.
    """
    if told.receptor is not None:
        known.receptor(told.receptor)
    if out is not None and not (os.path.isdir(out) and os.access(out, os.W_OK)):  # noqa: PTH112  never raises
        raise NoFolderForMarksError(out)
    films = _films(paths)
    expect(len(films))
    found = []
    for film in films:
        begin(film.name)
        found.append(_one(film, known, told, out))
    return ProposedFiles(films=tuple(sorted(found, key=_most_doubtful_first)))


def _one(film: Path, known: Catalogue, told: Known, out: Path | None) -> ProposedFile:
    beside = film if out is None else out / film.name
    target = beside.with_name(film.stem + MARKS_ENDING)
    try:
        if os.path.exists(target):  # noqa: PTH110  never raises
            raise AlreadyThereError(target)
        proposed = propose_marks(read_film(film), known, told)
        if proposed.marks is None:
            return ProposedFile(film=film, proposed=proposed)
        write_marks(target, proposed.marks)
    except ExtraMissingError:
        raise  # true of every film
    except BitewrightError as error:
        return ProposedFile(film=film, failed=str(error))
    return ProposedFile(film=film, proposed=proposed, written=target)


def _films(paths: Sequence[Path]) -> list[Path]:
    films: list[Path] = []
    for path in dict.fromkeys(paths):
        if not path.is_dir():
            films.append(path)
            continue
        own = [each for each in sorted(path.iterdir()) if each.suffix.lower() in FILM_ENDINGS]
        if not own:
            raise NoFilmInFolderError(path)
        films += own
    return films


def _most_doubtful_first(each: ProposedFile) -> tuple[int, str]:
    """Films without marks first, then by how many of their marks are doubtful."""
    if each.proposed is None or each.proposed.marks is None:
        return -1_000_000, each.film.name
    return -len(each.proposed.doubtful), each.film.name


__all__ = [
    "NoFilmInFolderError",
    "NoFolderForMarksError",
    "ProposedFile",
    "ProposedFiles",
    "propose_films",
]

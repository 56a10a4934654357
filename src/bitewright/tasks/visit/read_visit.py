"""Read the ledgers of the visits that marks files, or a folder of them, hold."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from bitewright import __version__
from bitewright.equipment.catalogue import Catalogue
from bitewright.errors import BitewrightError
from bitewright.files.disk import read_file
from bitewright.files.marks_file import read_marks
from bitewright.marking.marks import MarkedFilm
from bitewright.mouth.numbering import Side
from bitewright.quality.questions import AnyQuestion, plain_question
from bitewright.tasks.assess.taken_film import looked_at, taken_film
from bitewright.visit.film_evidence import FilmOfVisit
from bitewright.visit.ledger import Cell, Ledger, LedgerRow, ledger
from bitewright.visit.sites import BOTH_SIDES
from bitewright.visit.sorted_films import SetAside, sorted_films
from bitewright.words.landmarks import landmark_title
from bitewright.words.visits import READINGS, ledger_words, visit_heading

VISIT_FORMAT = "bitewright.visit/1"
MARKS_ENDING = ".json"


class NoFilmsError(BitewrightError):
    """Nothing that was given holds marks of a film that can be used."""

    def __init__(self, aside: Sequence[SetAside]) -> None:
        self.aside = tuple(aside)
        reasons = " ".join(f"{each.name}: {each.why}" for each in aside)
        super().__init__(
            "There is no film to read: give marks files, or a folder that holds some."
            + (f" {reasons}" if reasons else "")
        )


class NoFilmPixelSizeError(BitewrightError):
    """Neither a film's marks nor its receptor tell how large a pixel is."""

    def __init__(self, name: str) -> None:
        super().__init__(
            f"The marks of {name} say neither pixel_mm nor a receptor: write one of them into the "
            "marks."
        )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class VisitAnswer:
    """The ledger of one visit. ``patient`` is a pseudonym, ``given_name`` a person's for it."""

    patient: str | None
    taken_on: str | None
    ledger: Ledger
    given_name: str = ""

    @property
    def heading(self) -> str:
        """Whose and when."""
        if self.given_name and self.patient is None and self.taken_on is None:
            return self.given_name
        return visit_heading(self.patient, self.taken_on)

    @property
    def film_titles(self) -> tuple[str, ...]:
        """Films by their views; where two share one, with their names."""
        views = [film.view.title for film in self.ledger.films]
        return tuple(
            view if views.count(view) == 1 else f"{view} ({film.name})"
            for view, film in zip(views, self.ledger.films, strict=True)
        )

    @property
    def sentences(self) -> tuple[str, ...]:
        """What the films show together."""
        return ledger_words(self.ledger)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class VisitAnswers:
    """The ledgers of all visits given, and the films that none of them counts."""

    question: AnyQuestion
    visits: tuple[VisitAnswer, ...]
    set_aside: tuple[SetAside, ...]

    def one(self, which: int) -> VisitAnswer:
        """One of the visits by its place.

        Raises
        ------
        NoFilmsError
            If there is none.
        """
        if not 0 <= which < len(self.visits):
            raise NoFilmsError(self.set_aside)
        return self.visits[which]

    def document(self) -> dict[str, Any]:
        """As data for machines."""
        return {
            "format": VISIT_FORMAT,
            "version": __version__,
            "question": plain_question(self.question).value,
            "visits": [_visit_document(each) for each in self.visits],
            "set_aside": [{"film": each.name, "why": each.why} for each in self.set_aside],
        }


def read_visits(
    paths: Sequence[Path],
    known: Catalogue,
    question: AnyQuestion,
    *,
    sides: Sequence[Side] = BOTH_SIDES,
) -> VisitAnswers:
    """The ledger of each visit among marks files; a folder stands for all the marks in it.

    Raises
    ------
    NoFilmsError
        If nothing given can be used.
    BitewrightError
        If a file that was named cannot be read, or films contradict one another.
    """
    films, aside = _films(paths, known)
    return answers_of(films, aside, question, sides=sides)


def answers_of(
    films: Sequence[FilmOfVisit],
    aside: Sequence[SetAside],
    question: AnyQuestion,
    *,
    sides: Sequence[Side] = BOTH_SIDES,
    given_name: str = "",
) -> VisitAnswers:
    """The ledger of each visit among films; ``aside``: films that were set aside before.

    Raises
    ------
    NoFilmsError
        If none can be used.
    """
    visits, more = sorted_films(films)
    if not visits:
        raise NoFilmsError([*aside, *more])
    return VisitAnswers(
        question=question,
        visits=tuple(
            VisitAnswer(
                patient=each.patient,
                taken_on=each.taken_on,
                ledger=ledger(each.films, question, sides=sides),
                given_name=given_name,
            )
            for each in visits
        ),
        set_aside=(*aside, *more),
    )


def film_of_visit(name: str, marks: MarkedFilm, known: Catalogue) -> FilmOfVisit:
    """A marked film as a visit takes it.

    Raises
    ------
    UnknownViewError, UnknownEquipmentError, NoFilmPixelSizeError, UnconfirmedMarksError,
    UnconfirmedNumbersError
    """
    taken = taken_film(looked_at(marks, name, on_page=True), known)
    pixel_mm = marks.pixel_mm
    if not pixel_mm and taken.receptor is not None:
        pixel_mm = taken.receptor.active_long_mm / max(marks.columns, marks.rows)
    if not pixel_mm:
        raise NoFilmPixelSizeError(name)
    return FilmOfVisit(
        name=name, marks=marks, view=taken.view, pixel_mm=pixel_mm, receptor=taken.receptor
    )


def _films(paths: Sequence[Path], known: Catalogue) -> tuple[list[FilmOfVisit], list[SetAside]]:
    films: list[FilmOfVisit] = []
    aside: list[SetAside] = []
    for path in dict.fromkeys(paths):
        if not path.is_dir():
            films.append(film_of_visit(path.name, _read_marks(path), known))
            continue
        for each in sorted(path.iterdir()):
            if each.suffix.lower() != MARKS_ENDING:
                continue
            try:
                films.append(film_of_visit(each.name, _read_marks(each), known))
            except BitewrightError as error:
                aside.append(SetAside(name=each.name, why=str(error)))
    return films, aside


def _read_marks(path: Path) -> MarkedFilm:
    """Marks; where they do not say whose film it is, its image beside them may say which study."""
    marks = read_marks(path)
    image = path.with_name(Path(marks.image_name).name)
    if marks.patient or not _is_dicom_file(image):
        return marks
    from bitewright.dicom.read import study_pseudonym  # noqa: PLC0415  slow, and seldom needed

    return replace(marks, patient=study_pseudonym(read_file(image)))


def _is_dicom_file(path: Path) -> bool:
    """Whether a file is there and begins as DICOM files do (PS3.10)."""
    try:
        with path.open("rb") as file:
            return file.read(132)[128:] == b"DICM"
    except OSError:
        return False


def _visit_document(of: VisitAnswer) -> dict[str, Any]:
    told = of.ledger
    return {
        "patient": of.patient,
        "taken_on": of.taken_on,
        "sentences": list(of.sentences),
        "films": [{"film": each.name, "view": each.view.name} for each in told.films],
        "absent_teeth": list(told.absent),
        "places": [_row_document(row, told) for row in told.rows],
        "nothing_shows": [row.name for row in told.unread],
    }


def _row_document(row: LedgerRow, of: Ledger) -> dict[str, Any]:
    return {
        "place": row.name,
        "title": landmark_title(row.name),
        "needed": row.is_needed,
        "reading": READINGS[row.reading],
        "chance": round(row.chance, 3),
        "best": None if row.best is None else of.films[row.best].name,
        "on_films": [_cell_document(cell) for cell in row.cells],
    }


def _cell_document(cell: Cell) -> dict[str, Any]:
    return {
        "reading": READINGS[cell.reading],
        "chance": None if cell.chance is None else round(cell.chance, 3),
        "overlap_mm": None if cell.overlap_mm is None else round(cell.overlap_mm, 2),
    }


__all__ = [
    "VISIT_FORMAT",
    "NoFilmsError",
    "VisitAnswer",
    "VisitAnswers",
    "answers_of",
    "film_of_visit",
    "read_visits",
]

"""A tip sheet of one's own film: consent noted, names looked for, a person's reading."""

from datetime import date
from pathlib import Path

from bitewright import __version__
from bitewright.errors import BitewrightError, quoted
from bitewright.files.disk import write_file
from bitewright.report.tip_page import TipPage, tip_pdf
from bitewright.store.light_box import KeptFilm
from bitewright.tasks.assess.decoded_film import DecodedFilm
from bitewright.tasks.assess.drawing_files import explanation_drawing
from bitewright.tasks.assess.film_assessment import FilmAssessment
from bitewright.tasks.catalogue.own_checklists import known_checklists
from bitewright.tasks.light_box.assess_kept import assess_kept
from bitewright.tasks.rated_by import RatedBy
from bitewright.tasks.teach.noted_consent import NotedConsent, check_consent
from bitewright.words import tip_sheet as words
from bitewright.words.audit_report import made_words


class NotPdfSheetError(BitewrightError):
    """A tip sheet was asked for as a file that is no PDF."""

    def __init__(self, given: str) -> None:
        super().__init__(
            f"A tip sheet is written as PDF, {quoted(given)} is none: give a file that ends in "
            ".pdf."
        )


def check_shown(
    noted: NotedConsent, films: tuple[DecodedFilm, ...], out: Path, *, today: date
) -> None:
    """Refuse what may not be shown, before anything is worked out.

    Raises
    ------
    NotPdfSheetError, FieldValueError, ConsentDayError, NoSuchChecklistError,
    NotLookedForNamesError
    """
    if out.suffix.lower() != ".pdf":
        raise NotPdfSheetError(out.name)
    check_consent(noted, films, today=today)


def write_tip_sheet(
    answer: FilmAssessment,
    film: DecodedFilm,
    noted: NotedConsent,
    out: Path,
    *,
    better: DecodedFilm | None = None,
    today: date,
) -> None:
    """Write the sheet, of an explained film and perhaps of the next one.

    Raises
    ------
    FileUnwritableError, and as `check_shown`
    """
    films = (film,) if better is None else (film, better)
    check_shown(noted, films, out, today=today)
    write_file(out, tip_pdf(_tip_page(answer, films, noted, today=today)))


def tip_of_kept(
    film: DecodedFilm,
    kept: KeptFilm,
    noted: NotedConsent,
    *,
    better: DecodedFilm | None = None,
    today: date,
) -> bytes:
    """The sheet of a film on the light box, from its marks there.

    Raises
    ------
    BitewrightError
        As `check_consent` and `assess_kept`.
    """
    films = (film,) if better is None else (film, better)
    check_consent(noted, films, today=today)
    answer = assess_kept(film, kept, by=RatedBy(), explained=True)
    return tip_pdf(_tip_page(answer, films, noted, today=today))


def _tip_page(
    answer: FilmAssessment,
    films: tuple[DecodedFilm, ...],
    noted: NotedConsent,
    *,
    today: date,
) -> TipPage:
    told = answer.explained
    said = None if told is None else told.explanation
    move = words.NO_MOVE if told is None or told.words is None else told.words.operator
    return TipPage(
        title=words.tip_title(noted.fault),
        reading=words.reading_line(noted.fault, noted.consent_by),
        films=tuple(
            (title, each.image)
            for title, each in zip((words.BEFORE, words.AFTER), films, strict=False)
        ),
        move=move,
        drawing=None if said is None else explanation_drawing(said, move, only_what_moves=True),
        checklist=known_checklists()[noted.fault],
        consent=words.consent_line(noted.consent_by, noted.consent_on),
        made=made_words(__version__, today.isoformat()),
    )


__all__ = ["NotPdfSheetError", "check_shown", "tip_of_kept", "write_tip_sheet"]

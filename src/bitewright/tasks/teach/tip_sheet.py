"""A tip sheet of one's own film: consent noted, names looked for, a person's reading."""

from dataclasses import dataclass
from datetime import date
from pathlib import Path

from bitewright import __version__
from bitewright.errors import BitewrightError, quoted
from bitewright.files.disk import write_file
from bitewright.log.checklists import NoSuchChecklistError
from bitewright.log.fields import from_text
from bitewright.report.correction_drawing import correction_drawing
from bitewright.report.tip_page import TipPage, tip_pdf
from bitewright.tasks.assess.decoded_film import DecodedFilm
from bitewright.tasks.assess.film_assessment import FilmAssessment
from bitewright.tasks.assess.identity_signs import identity_signs
from bitewright.tasks.catalogue.own_checklists import known_checklists
from bitewright.words import tip_sheet as words
from bitewright.words.audit_report import made_words
from bitewright.words.identities import warning


class NotLookedForNamesError(BitewrightError):
    """Nobody has said that they looked for names in a film that is to be noted."""

    def __init__(self, found: tuple[str, ...]) -> None:
        seen = f" {' '.join(f'{each}.' for each in found)}" if found else ""
        super().__init__(
            f"A film for the wall names nobody.{seen} A program cannot know: look for names and "
            "numbers drawn into it, and say with --no-names-seen that you saw none."
        )


class NotPdfSheetError(BitewrightError):
    """A tip sheet was asked for as a file that is no PDF."""

    def __init__(self, given: str) -> None:
        super().__init__(
            f"A tip sheet is written as PDF, {quoted(given)} is none: give a file that ends in "
            ".pdf."
        )


class ConsentDayError(BitewrightError):
    """Consent is noted for a day that is still to come."""

    def __init__(self, given: str) -> None:
        super().__init__(
            f"Consent cannot have been noted on {given}, which is still to come: give the day on "
            "which it was noted, YYYY-MM-DD."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class NotedConsent:
    """What a person answers for where a real film is noted.

    Parameters
    ----------
    fault : str
        What is wrong with it by that person's reading, as logged.
    consent_by : str
        Code of who noted consent.
    consent_on : str
        ISO date of that.
    no_names_seen : bool
        Whether that person looked for names drawn into it and saw none.
    """

    fault: str
    consent_by: str
    consent_on: str
    no_names_seen: bool


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
    from_text("operator", noted.consent_by)
    day = str(from_text("day", noted.consent_on))
    if day > today.isoformat():
        raise ConsentDayError(day)
    if noted.fault not in known_checklists():
        raise NoSuchChecklistError(noted.fault)
    if not noted.no_names_seen:
        found = tuple(
            warning(film.name, signs) for film in films if (signs := identity_signs(film))
        )
        raise NotLookedForNamesError(found)


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
    told = answer.explained
    said = None if told is None else told.explanation
    move = words.NO_MOVE if told is None or told.words is None else told.words.operator
    sheet = TipPage(
        title=words.tip_title(noted.fault),
        reading=words.reading_line(noted.fault, noted.consent_by),
        films=tuple(
            (title, each.image)
            for title, each in zip((words.BEFORE, words.AFTER), films, strict=False)
        ),
        move=move,
        drawing=None
        if said is None
        else correction_drawing(said.correction, present=said.now, plan=said.plan),
        checklist=known_checklists()[noted.fault],
        consent=words.consent_line(noted.consent_by, noted.consent_on),
        made=made_words(__version__, today.isoformat()),
    )
    write_file(out, tip_pdf(sheet))


__all__ = [
    "ConsentDayError",
    "NotLookedForNamesError",
    "NotPdfSheetError",
    "NotedConsent",
    "check_shown",
    "write_tip_sheet",
]

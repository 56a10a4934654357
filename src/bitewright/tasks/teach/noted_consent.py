"""What a person answers for before a real film is shown to others: consent, and no names seen."""

from dataclasses import dataclass
from datetime import date

from bitewright.errors import BitewrightError
from bitewright.log.checklists import NoSuchChecklistError
from bitewright.log.fields import from_text
from bitewright.tasks.assess.decoded_film import DecodedFilm
from bitewright.tasks.assess.identity_signs import identity_signs
from bitewright.tasks.catalogue.own_checklists import known_checklists
from bitewright.words.identities import warning


class NotLookedForNamesError(BitewrightError):
    """Nobody has said that they looked for names in a film that is to be shown."""

    status_code = 422

    def __init__(self, found: tuple[str, ...]) -> None:
        seen = f" {' '.join(f'{each}.' for each in found)}" if found else ""
        super().__init__(
            f"A film that is shown names nobody.{seen} A program cannot know: look for names and "
            "numbers drawn into it, and say with --no-names-seen that you saw none, or tick the "
            "box on the page."
        )


class ConsentDayError(BitewrightError):
    """Consent is noted for a day that is still to come."""

    status_code = 422

    def __init__(self, given: str) -> None:
        super().__init__(
            f"Consent cannot have been noted on {given}, which is still to come: give the day on "
            "which it was noted, YYYY-MM-DD."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class NotedConsent:
    """What a person answers for where a real film is shown.

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


def check_consent(noted: NotedConsent, films: tuple[DecodedFilm, ...], *, today: date) -> None:
    """Refuse what may not be shown, before anything is worked out.

    Raises
    ------
    FieldValueError, ConsentDayError, NoSuchChecklistError, NotLookedForNamesError
    """
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


__all__ = ["ConsentDayError", "NotLookedForNamesError", "NotedConsent", "check_consent"]

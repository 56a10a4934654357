"""A film of a visit in the log: found there by its content, or recorded once."""

from bitewright.errors import BitewrightError
from bitewright.log.field_forms import CODE
from bitewright.tasks.log.read_log import number_in_log
from bitewright.tasks.log.record_exposure import AddRequest, record_exposure
from bitewright.tasks.log.store_place import today_text
from bitewright.visit.film_evidence import FilmOfVisit

KEY_DIGITS = 40


class NotInLogError(BitewrightError):
    """A film is not in the log, and what a record needs is not given."""

    def __init__(self, film: str, lacks: str, give: str) -> None:
        self.film = film
        super().__init__(f"{film} is not in the log, and {lacks}: {give}.")


def logged_key(film: FilmOfVisit) -> str | None:
    """The key that a film is logged by, as the log's form has it; None without its content."""
    sha = film.marks.image_sha256
    return f"film-{sha[:KEY_DIGITS]}" if sha else None


def is_logged(key: str | None, store: str | None) -> bool:
    """Whether the log has an exposure of a key."""
    return key is not None and number_in_log(key, store) is not None


def logged_film(
    film: FilmOfVisit,
    *,
    operator: str,
    store: str | None,
    supervisor: str = "",
    retake_of: str = "",
    kind: str = "exposure",
) -> str:
    """The key of a film's exposure in the log; it is recorded first where it is not there.

    Raises
    ------
    NotInLogError
        If it is not there, and its content or who exposed it is not known.
    """
    key = logged_key(film)
    if key is None:
        raise NotInLogError(
            film.name,
            "its marks do not name its image's content",
            "name its exposure in the log",
        )
    if is_logged(key, store):
        return key
    if not operator.strip():
        raise NotInLogError(
            film.name,
            "nobody is named who exposed it",
            "give the code of who did (a command takes --operator, or --student for a student), so "
            "that it is recorded, or name its exposure in the log",
        )
    patient = film.marks.patient or ""
    fields = {
        "day": film.marks.taken_on or today_text(),
        "operator": operator.strip(),
        "view": film.view.name,
        "receptor": "" if film.receptor is None else film.receptor.name,
        "case": patient if CODE.fullmatch(patient) else "",
        "supervisor": supervisor,
        "kind": kind,
        "retake_of": retake_of,
    }
    record_exposure(AddRequest(fields=fields, key=key, store=store))
    return key


__all__ = ["NotInLogError", "is_logged", "logged_film", "logged_key"]

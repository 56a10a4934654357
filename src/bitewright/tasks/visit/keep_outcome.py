"""What the further film of a visit won of what the gate had said, kept with the decision."""

from collections.abc import Sequence
from dataclasses import dataclass

from bitewright.errors import BitewrightError
from bitewright.log.decisions import RETAKEN
from bitewright.log.place_chances import chances_as_text, chances_from_text
from bitewright.tasks.log.read_log import show_exposure
from bitewright.tasks.log.record_exposure import (
    ChangeRequest,
    Recorded,
    correct_exposure,
    decide_exposure,
)
from bitewright.tasks.visit.logged_film import logged_film, logged_key
from bitewright.tasks.visit.read_visit import VisitAnswer
from bitewright.visit.film_evidence import FilmOfVisit
from bitewright.visit.ledger import Reading
from bitewright.visit.sites import is_of_side
from bitewright.words.gates import outcome_why
from bitewright.words.landmarks import landmark_title
from bitewright.words.phrases import listed


class OutcomeIncompleteError(BitewrightError):
    """An outcome is to be kept, and what it is of or who says so is not given."""

    def __init__(self, to_do: Sequence[str]) -> None:
        super().__init__(
            f"An outcome is kept of a decision to expose that was signed before: {listed(to_do)}."
        )


class NoStatedOddsError(BitewrightError):
    """An outcome is to be kept where no odds were."""

    def __init__(self, exposure: str) -> None:
        super().__init__(
            f"No odds were stated with a decision on exposure {exposure}: an outcome is kept of a "
            "decision that was signed at the gate."
        )


class NotThatFilmError(BitewrightError):
    """The further film is none of the visit."""

    def __init__(self, given: str, known: tuple[str, ...]) -> None:
        self.given = given
        super().__init__(
            f"{given or 'No film'} is none of this visit's films: give one of {', '.join(known)}."
        )


class NotFurtherError(BitewrightError):
    """A film cannot have come of a decision: it is the same, or of the other side."""

    def __init__(self, film: str, reason: str) -> None:
        self.film = film
        super().__init__(f"{film} did not come of that decision: {reason}. Give the further film.")


class PlacesNotMarkedError(BitewrightError):
    """Places with stated odds are not marked on the further film."""

    def __init__(self, film: str, places: tuple[str, ...]) -> None:
        self.places = places
        named = ", ".join(map(landmark_title, places))
        super().__init__(
            f"{film} may show {named}, and nobody marked it there: mark it before its outcome is "
            "kept."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class FurtherFilm:
    """The further film that came of a decision.

    Parameters
    ----------
    about : str
        The decision's exposure in the log, by number or key.
    further : str
        The further film's name among those of the visit.
    by : str
        Code of who says so.
    operator : str
        Code of who took it, where the log does not have it yet.
    supervisor : str
    store : str or None
    """

    about: str
    further: str
    by: str
    operator: str = ""
    supervisor: str = ""
    store: str | None = None


def check_outcome_asked(*, about: str | None, by: str, decides: bool) -> None:
    """Refuse an outcome by command that lacks something, or comes with a decision.

    Parameters
    ----------
    about : str or None
        The decision's exposure in the log.
    by : str
        Code of who says so.
    decides : bool
        Whether a decision is given as well.

    Raises
    ------
    OutcomeIncompleteError
    """
    lacks = {
        "name the exposure that it was about with --about": not about,
        "give the code of who says so with --by": not by.strip(),
        "leave out --decide": decides,
    }
    if any(lacks.values()):
        raise OutcomeIncompleteError([what for what, holds in lacks.items() if holds])


def keep_outcome(visit: VisitAnswer, outcome: FurtherFilm) -> Recorded:
    """Log the further film and what it shows of the places with stated odds, once.

    A film that was rejected is then retaken as the further one.

    Raises
    ------
    NoStatedOddsError, NotThatFilmError, NotFurtherError, PlacesNotMarkedError, NotInLogError
    BitewrightError
        If the log refuses it.
    """
    first = show_exposure(outcome.about, outcome.store)
    if "stated_odds" not in first.state:
        raise NoStatedOddsError(outcome.about)
    places = tuple(chances_from_text(str(first.state["stated_odds"])))
    film = _further(visit, outcome.further)
    key = first.entries[0].entry.key
    if logged_key(film) == key:
        raise NotFurtherError(film.name, "it is the film that the decision is about")
    if not any(is_of_side(name, film.view.region.side) for name in places):
        raise NotFurtherError(film.name, "it is of the other side")
    read = _read_on(visit, film, places)
    is_retake = first.state.get("decision") in ("rejected", RETAKEN)
    again = logged_film(
        film,
        operator=outcome.operator,
        supervisor=outcome.supervisor,
        store=outcome.store,
        kind="retake" if is_retake else "extra-view",
        retake_of=key if is_retake else "",
    )
    request = ChangeRequest(
        exposure=key,
        by=outcome.by,
        why=outcome_why(read),
        key=f"outcome-{again[-40:]}",
        fields={"read_after": chances_as_text(read)},
        store=outcome.store,
    )
    if is_retake:
        return decide_exposure(request, RETAKEN, by=outcome.by, retaken_as=again)
    return correct_exposure(request)


def _further(visit: VisitAnswer, name: str) -> FilmOfVisit:
    films = visit.ledger.films
    for film in films:
        if film.name == name:
            return film
    raise NotThatFilmError(name, tuple(each.name for each in films))


def _read_on(visit: VisitAnswer, film: FilmOfVisit, places: tuple[str, ...]) -> dict[str, float]:
    """How likely each place can be read on one film; a view that is not for it shows it not."""
    column = visit.ledger.films.index(film)
    cells = {row.name: row.cells[column] for row in visit.ledger.rows}
    unmarked = tuple(
        name for name in places if name in cells and cells[name].reading is Reading.NOT_MARKED
    )
    if unmarked:
        raise PlacesNotMarkedError(film.name, unmarked)
    return {name: (cells[name].chance or 0.0) if name in cells else 0.0 for name in places}


__all__ = [
    "FurtherFilm",
    "NoStatedOddsError",
    "NotFurtherError",
    "NotThatFilmError",
    "OutcomeIncompleteError",
    "PlacesNotMarkedError",
    "check_outcome_asked",
    "keep_outcome",
]

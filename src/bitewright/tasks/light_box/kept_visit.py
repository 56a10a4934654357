"""The films of one visit on the light box, read together."""

from collections.abc import Sequence
from dataclasses import replace

from bitewright.equipment.catalogue import Catalogue
from bitewright.errors import BitewrightError
from bitewright.planning.stated_hands import MIDDLING, stated_hands
from bitewright.quality.questions import AnyQuestion
from bitewright.store.light_box import KeptFilm, LightBoxStore
from bitewright.tasks.catalogue.named import named_equipment
from bitewright.tasks.light_box.kept_marks import PixelSizeNotToldError, marks_of_further
from bitewright.tasks.visit.gate_visit import GateAnswer, Hand, gate_of
from bitewright.tasks.visit.read_visit import (
    NoFilmPixelSizeError,
    NoFilmsError,
    VisitAnswer,
    VisitAnswers,
    answers_of,
    film_of_visit,
)
from bitewright.visit.gate import Stated
from bitewright.visit.sorted_films import SetAside

USUAL_RECEPTOR, USUAL_HOLDER, USUAL_TUBE = "sensor-2", "ring-holder", "rectangular-300"


class NoSuchVisitError(BitewrightError):
    """No film on the light box is of a visit."""

    status_code = 404

    def __init__(self, visit: str) -> None:
        self.visit = visit
        super().__init__(
            f"No film on the light box is of the visit '{visit}': choose one on the light box."
        )


class NothingToReadTogetherError(BitewrightError):
    """No film of a visit can be read yet, each with its reason."""

    def __init__(self, visit: str, aside: Sequence[SetAside]) -> None:
        self.visit = visit
        super().__init__(
            " ".join(
                (
                    f"No film of the visit '{visit}' can be read yet.",
                    *(each.why for each in aside),
                    "That is done on the light box.",
                )
            )
        )


def kept_visit(
    store: LightBoxStore, visit: str, known: Catalogue, question: AnyQuestion
) -> VisitAnswers:
    """The ledger of a visit; films without view or marks are set aside with their reason.

    Raises
    ------
    NoSuchVisitError, NothingToReadTogetherError
    BitewrightError
        If films contradict one another.
    """
    kept = [film for film in store.films() if film.visit == visit]
    if not kept:
        raise NoSuchVisitError(visit)
    films, aside = [], []
    for each in kept:
        try:
            films.append(film_of_visit(_name(each), marks_of_further(each), known))
        except NoFilmPixelSizeError:
            aside.append(SetAside(name=_name(each), why=str(PixelSizeNotToldError(each))))
        except BitewrightError as error:
            aside.append(SetAside(name=_name(each), why=str(error)))
    try:
        return answers_of(films, aside, question, given_name=visit)
    except NoFilmsError as error:
        raise NothingToReadTogetherError(visit, error.aside) from error


def kept_gate(visit: VisitAnswer, known: Catalogue, stated: Stated, hand: str) -> GateAnswer:
    """What stands before another exposure of a visit, with the receptor its films name."""
    named = next((each.receptor for each in visit.ledger.films if each.receptor), None)
    by = named_equipment(known, receptor=USUAL_RECEPTOR, holder=USUAL_HOLDER, tube=USUAL_TUBE)
    found = stated_hands().get(hand, stated_hands()[MIDDLING])
    return gate_of(
        visit,
        stated,
        by=by if named is None else replace(by, receptor=named),
        hand=Hand(title=found.title, scatter=found.scatter),
    )


def _name(film: KeptFilm) -> str:
    return f"{film.label} (film {film.id})"


__all__ = ["NoSuchVisitError", "NothingToReadTogetherError", "kept_gate", "kept_visit"]

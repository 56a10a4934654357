"""What the films of a visit of the light box taught about its mouth, to plan the next visit in."""

from bitewright.equipment.catalogue import Catalogue
from bitewright.errors import BitewrightError
from bitewright.estimation.mouth_belief import MouthBelief
from bitewright.mouth.numbering import Side
from bitewright.quality.questions import AnyQuestion
from bitewright.quality.views import view_names
from bitewright.store.light_box import KeptFilm, LightBoxStore
from bitewright.tasks.catalogue.named import named_equipment
from bitewright.tasks.light_box.kept_marks import usable_marks
from bitewright.tasks.light_box.kept_visit import (
    USUAL_HOLDER,
    USUAL_RECEPTOR,
    USUAL_TUBE,
    NoSuchVisitError,
    kept_visit,
)
from bitewright.tasks.visit.mouth_of_visit import mouth_of_visit
from bitewright.tasks.visit.visit_plan_page import Taught


class TaughtNothingError(BitewrightError):
    """The films of a visit have too few marks to teach anything of its mouth."""

    def __init__(self, visit: str) -> None:
        super().__init__(
            f"The films of the visit '{visit}' have too few marks to teach anything of its mouth: "
            "mark more of them, or plan without them."
        )


class SeveralMouthsError(BitewrightError):
    """The films of a visit are of several patients or days."""

    def __init__(self, visit: str) -> None:
        super().__init__(
            f"The films of the visit '{visit}' are of several patients or days by their marks: "
            "give each a visit of its own."
        )


def visits_that_teach(store: LightBoxStore) -> tuple[str, ...]:
    """Visits of the light box with a marked film."""
    return tuple(dict.fromkeys(film.visit for film in store.films() if _is_marked(film)))


def taught_by(
    store: LightBoxStore, visit: str, known: Catalogue, question: AnyQuestion
) -> Taught | None:
    """What the films of a visit teach of its mouth; None for an empty name.

    Raises
    ------
    NoSuchVisitError
    """
    if not visit:
        return None
    if visit not in visits_that_teach(store):
        raise NoSuchVisitError(visit)
    films = [each for each in store.films() if each.visit == visit]
    return Taught(
        state=tuple((each.id, each.marks_version) for each in films),
        learn=lambda: taught_mouth(store, visit, known, question),
    )


def taught_mouth(
    store: LightBoxStore, visit: str, known: Catalogue, question: AnyQuestion
) -> MouthBelief:
    """The mouth as its visit's films taught it.

    Raises
    ------
    SeveralMouthsError, TaughtNothingError
    BitewrightError
        As `kept_visit`.
    """
    visits = kept_visit(store, visit, known, question).visits
    if len(visits) != 1:
        raise SeveralMouthsError(visit)
    by = named_equipment(known, receptor=USUAL_RECEPTOR, holder=USUAL_HOLDER, tube=USUAL_TUBE)
    found = mouth_of_visit(visits[0].ledger.films, Side.RIGHT, by)
    if not found.films:
        raise TaughtNothingError(visit)
    return found


def _is_marked(film: KeptFilm) -> bool:
    marks, _ = usable_marks(film)
    return marks.get("view") in view_names() and bool(marks.get("marks"))


__all__ = ["taught_by", "taught_mouth", "visits_that_teach"]

"""What a page shows of a visit: the table's rows, the hands there are, what a person stated."""

from dataclasses import dataclass

from bitewright.planning.stated_hands import stated_hands
from bitewright.tasks.visit.read_visit import VisitAnswer
from bitewright.visit.gate import Stated
from bitewright.words.landmarks import landmark_title
from bitewright.words.visits import READING_SIGNS, told_words


@dataclass(frozen=True, slots=True, kw_only=True)
class ShownPlace:
    """A row as it is shown: sign, place, what is said together and by each film, the best film."""

    sign: str
    place: str
    together: str
    on_films: tuple[str, ...]
    best: str


def visit_table(answer: VisitAnswer) -> tuple[ShownPlace, ...]:
    """The places that the question needs, those that nothing shows first."""
    rows = sorted(answer.ledger.needed(), key=lambda row: row.reading.value == "readable")
    return tuple(
        ShownPlace(
            sign=READING_SIGNS[row.reading],
            place=landmark_title(row.name),
            together=told_words(row.reading, row.chance),
            on_films=tuple(told_words(cell.reading, cell.chance) for cell in row.cells),
            best="" if row.best is None else answer.film_titles[row.best],
        )
        for row in rows
    )


def hands_offered() -> tuple[tuple[str, str], ...]:
    """The stated hands, by name and as they are called."""
    return tuple((hand.name, hand.title) for hand in stated_hands().values())


def stated_by(purpose: str, cause: str, change: str) -> Stated:
    """What a person stated on a page."""
    return Stated(purpose=purpose, cause=cause, change=change)


__all__ = ["ShownPlace", "hands_offered", "stated_by", "visit_table"]

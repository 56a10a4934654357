"""Chair cards: what is set up at the chair, for a view or for all four, as PDF or HTML."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from bitewright import __version__
from bitewright.errors import BitewrightError, quoted
from bitewright.exposing.exposure import Station
from bitewright.exposing.scatter import Scatter
from bitewright.files.disk import write_file
from bitewright.planning.best_aim import FREE, Held, Plan
from bitewright.planning.ladder import Owned, Tried
from bitewright.planning.patient_limits import NO_LIMITS, Patient
from bitewright.planning.tolerance import tolerances
from bitewright.quality.views import View, view, view_names
from bitewright.report.card_drawing import card_drawing
from bitewright.report.card_page import CardSize, ChairCard, cards_html, cards_pdf
from bitewright.steps import Begin, unwatched
from bitewright.tasks.plan.plan_ladder import plan_ladder
from bitewright.tasks.plan.plan_view import plan_view
from bitewright.tasks.rated_by import RatedBy
from bitewright.words.audit_report import made_words
from bitewright.words.chair_card import WAY_KINDS, card_words

ENDINGS = (".pdf", ".html")


class CardFileError(BitewrightError):
    """A card was asked for as a kind of file that it is not written as."""

    def __init__(self, given: str) -> None:
        super().__init__(
            f"A chair card is written as PDF or as a web page, {quoted(given)} is neither: give a "
            f"file that ends in {' or '.join(ENDINGS)}."
        )


class NothingToSetUpError(BitewrightError):
    """No set-up serves, so there is no card."""

    status_code = 409

    def __init__(self, view_title: str, answer: str) -> None:
        super().__init__(f"There is no card for the {view_title}: {answer}")


@dataclass(frozen=True, slots=True, kw_only=True)
class CardWish:
    """What cards are made for.

    Parameters
    ----------
    owned : Owned
        What the room has, for what to take instead.
    by : RatedBy
    bears : Patient
    scatter : Scatter or None
        The operator's; the stated hands, if None.
    held : Held
    """

    owned: Owned
    by: RatedBy
    bears: Patient = NO_LIMITS
    scatter: Scatter | None = None
    held: Held = FREE


def views_of_series(of_view: View) -> tuple[View, ...]:
    """Both views of both sides in a view's format."""
    return tuple(
        view(name) for name in view_names() if view(name).region.format is of_view.region.format
    )


def check_card_file(path: Path) -> None:
    """Whether cards can be written as such a file.

    Raises
    ------
    CardFileError
    """
    if path.suffix.lower() not in ENDINGS:
        raise CardFileError(path.name)


def chair_card(
    of_view: View, at: Station, wish: CardWish, *, begin: Begin = unwatched
) -> ChairCard:
    """The card of a view: of its plan where that works, else of the ladder's first working step.

    Raises
    ------
    NothingToSetUpError
        If no step works.
    """
    begin(of_view.title)
    if wish.bears == NO_LIMITS:
        made = plan_view(
            of_view, at, scatter=wish.scatter, held=wish.held, by=wish.by, with_odds=True
        )
        if made.works:
            chances = {each.hand: each.in_this_mouth.chance for each in made.odds}
            return card_of_plan(made.plan, chances, wish, begin=begin)
    found = plan_ladder(
        of_view, at, wish.owned, by=wish.by, bears=wish.bears, scatter=wish.scatter, begin=begin
    )
    take = found.ladder.take
    if take is None or take.plan is None:
        raise NothingToSetUpError(of_view.title, found.answer)
    tried = found.ladder.tried
    chances = {hand: each.chance for hand, each in take.odds.items()}
    return _card(take.plan, chances, tried[tried.index(take) + 1 :], wish)


def card_of_plan(
    plan: Plan,
    chances: Mapping[str, float],
    wish: CardWish,
    *,
    others_alike: bool = True,
    begin: Begin = unwatched,
) -> ChairCard:
    """The card of a plan that works; ``chances`` are of the film serving, by hand.

    ``others_alike``: as of `card_words`.
    """
    others = plan_ladder(
        plan.view,
        plan.station,
        replace(wish.owned, steps=WAY_KINDS),
        by=wish.by,
        scatter=wish.scatter,
        begin=begin,
    )
    return _card(plan, chances, others.ladder.tried, wish, others_alike=others_alike)


def _card(
    plan: Plan,
    chances: Mapping[str, float],
    others: Iterable[Tried],
    wish: CardWish,
    *,
    others_alike: bool = True,
) -> ChairCard:
    slips = tolerances(plan, question=wish.by.question)
    words = card_words(
        plan, chances, slips, tuple(others), wish.by.question, others_alike=others_alike
    )
    return ChairCard(words=words, drawing=card_drawing(plan.exposure, words.title))


def chair_cards(
    views: Iterable[View],
    station_of: Callable[[View], Station],
    wish: CardWish,
    *,
    begin: Begin = unwatched,
) -> tuple[ChairCard, ...]:
    """The cards of some views, errors as `chair_card`."""
    return tuple(chair_card(each, station_of(each), wish, begin=begin) for each in views)


def cards_file(cards: tuple[ChairCard, ...], ending: str, size: CardSize) -> bytes:
    """Cards as a file of an ending, ``.pdf`` or ``.html``."""
    made = made_words(__version__, date.today().isoformat())  # noqa: DTZ011 - the reader's day
    if ending == ".pdf":
        return cards_pdf(cards, size=size, made=made)
    return cards_html(cards, size=size, made=made).encode()


def write_cards(cards: tuple[ChairCard, ...], path: Path, size: CardSize) -> None:
    """Write cards to a file.

    Raises
    ------
    CardFileError, FileUnwritableError
    """
    check_card_file(path)
    write_file(path, cards_file(cards, path.suffix.lower(), size))


__all__ = [
    "CardFileError",
    "CardSize",
    "CardWish",
    "NothingToSetUpError",
    "card_of_plan",
    "cards_file",
    "chair_card",
    "chair_cards",
    "check_card_file",
    "views_of_series",
    "write_cards",
]

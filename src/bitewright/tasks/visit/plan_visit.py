"""Plan the films of a visit: the fewest that show every wanted place, each with its odds."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import numpy as np

from bitewright import __version__
from bitewright.errors import BitewrightError
from bitewright.exposing.region import Zone
from bitewright.quality.questions import AnyQuestion
from bitewright.quality.views import View
from bitewright.report.card_page import ChairCard
from bitewright.steps import Begin, unwatched
from bitewright.tasks.all_cores import all_cores
from bitewright.tasks.plan.chair_card import CardWish, card_of_plan
from bitewright.tasks.visit.planned_mouth import NotThereError, PlannedMouth
from bitewright.tasks.visit.visit_wish import VisitWish
from bitewright.tasks.visit.weighed_films import WeighedFilms, asked_of_view
from bitewright.visit.fewest_films import SideOfVisit
from bitewright.visit.sites import is_of_side, site_order, visit_sites
from bitewright.words.caution import CAUTION
from bitewright.words.odds import hand_title
from bitewright.words.visit_plans import (
    all_words,
    film_words,
    more_words,
    not_shown_words,
    odds_note,
    taken_for_words,
    visit_plan_answer,
)

VISIT_PLAN_FORMAT = "bitewright.visit-plan/1"


class NoToothToShowError(BitewrightError):
    """A visit is planned for teeth of which no bitewing is to show anything."""

    def __init__(self, teeth: Sequence[int]) -> None:
        self.teeth = tuple(teeth)
        named = f" of {', '.join(map(str, teeth))}" if teeth else ""
        super().__init__(
            f"The question needs nothing{named} on a bitewing in this mouth: name teeth from the "
            "canine backwards that are there, or ask another question."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class ShownFilm:
    """A film as it is shown: view and receptor, what it is taken for, the chance by hand."""

    film: str
    places: str
    chances: Mapping[str, float]


@dataclass(frozen=True, kw_only=True, eq=False)
class VisitPlan:
    """The films of a visit in the order in which they are taken."""

    wish: VisitWish
    within: PlannedMouth
    sides: tuple[SideOfVisit, ...]
    more: tuple[SideOfVisit, ...]
    """The same with one film more on each side, where one more was weighed."""

    nothing: tuple[str, ...]
    """Places of sides of which no film shows any."""

    fit_not: tuple[str, ...]
    """Films that do not fit, and why."""

    @cached_property
    def films(self) -> tuple[tuple[SideOfVisit, int], ...]:
        """Each film as its side and its place there: premolars of both sides, then molars."""
        every = [(side, film) for side in self.sides for film in range(len(side.films))]
        return tuple(sorted(every, key=_is_of_molars))

    @property
    def not_shown(self) -> tuple[str, ...]:
        """Wanted places that no set of films shows that was weighed."""
        return (*(name for side in self.sides for name in side.not_shown), *self.nothing)

    def chances(self, side: SideOfVisit, film: int) -> Mapping[str, float]:
        """How likely a film shows all that it is taken for, by hand."""
        return {hand: side.chance_of(film, hand) for hand in self.wish.hands}

    @cached_property
    def all_chances(self) -> Mapping[str, float]:
        """How likely all films together show every place that any can, by hand."""
        return self._together(self.sides)

    @property
    def more_chances(self) -> Mapping[str, float]:
        """The same with one film more on each side; empty where there is none."""
        is_more = sum(len(side.films) for side in self.more) > len(self.films)
        return self._together(self.more) if is_more else {}

    def _together(self, sides: Sequence[SideOfVisit]) -> Mapping[str, float]:
        return {
            hand: float(np.all([side.all_shown(hand) for side in sides], axis=0).mean())
            for hand in self.wish.hands
            if sides
        }

    @property
    def answer(self) -> str:
        """How many films, and how likely they show all; or what none shows."""
        return visit_plan_answer(
            len(self.films), self.wish.by.question, all_shown=not self.not_shown
        )

    @property
    def sentences(self) -> tuple[str, ...]:
        """The answer, how likely all comes of it, and what no set of films shows."""
        said = (
            self.answer,
            all_words(len(self.films), self.all_chances) if self.films else "",
            more_words(sum(len(side.films) for side in self.more), self.more_chances),
            not_shown_words(self.not_shown),
            *self.fit_not,
        )
        return tuple(each for each in said if each)

    @property
    def note(self) -> str:
        """What the odds are counted over."""
        return odds_note(is_described=self.within.described is not None)

    def document(self) -> dict[str, Any]:
        """As data for machines."""
        return {
            "format": VISIT_PLAN_FORMAT,
            "version": __version__,
            "sentences": list(self.sentences),
            "films": [self._film_document(side, film) for side, film in self.films],
            "all": {hand: round(chance, 3) for hand, chance in self.all_chances.items()},
            "all_with_more": {hand: round(odd, 3) for hand, odd in self.more_chances.items()},
            "hands": {hand: hand_title(hand) for hand in self.wish.hands},
            "not_shown": list(self.not_shown),
            "note": self.note,
            "caution": CAUTION,
        }

    @property
    def shown_films(self) -> tuple[ShownFilm, ...]:
        """The films as they are shown, in order."""
        return tuple(
            ShownFilm(
                film=film_words(side.films[film].plan),
                places=taken_for_words(side.places_of(film)),
                chances=self.chances(side, film),
            )
            for side, film in self.films
        )

    def _film_document(self, side: SideOfVisit, film: int) -> dict[str, Any]:
        plan = side.films[film].plan
        return {
            "view": plan.view.name,
            "words": film_words(plan),
            "receptor": plan.station.receptor.name,
            "holder": plan.station.holder.name,
            "places": list(side.places_of(film)),
            "chances": {
                hand: round(chance, 3) for hand, chance in self.chances(side, film).items()
            },
        }

    def cards(self, begin: Begin = unwatched) -> tuple[ChairCard, ...]:
        """The chair card of each film, in order; its odds are of what the film is taken for."""
        return tuple(
            card_of_plan(
                side.films[film].plan,
                self.chances(side, film),
                CardWish(
                    owned=self.wish.owned,
                    by=replace(self.wish.by, question=_asked_of(side.films[film].plan.view, self)),
                    scatter=self.wish.scatter,
                ),
                others_alike=False,  # of this view in one mouth, not of these places in many
                begin=begin,
            )
            for side, film in self.films
        )


def _is_of_molars(each: tuple[SideOfVisit, int]) -> bool:
    side, film = each
    return side.films[film].plan.view.region.zone is Zone.MOLAR


def _asked_of(of_view: View, of: VisitPlan) -> AnyQuestion:
    asked = asked_of_view(of_view, of.wish.by.question, of.within)
    return of.wish.by.question if asked is None else asked


def plan_visit(wish: VisitWish, within: PlannedMouth, *, begin: Begin = unwatched) -> VisitPlan:
    """The fewest films that show every place wanted, in order, with their odds.

    Raises
    ------
    NoToothToShowError, NotThereError, SurfaceNotInVisitError
    """
    names = wanted_places(wish, within)
    found, more, nothing, fit_not = [], [], list[str](), list[str]()
    with all_cores() as threads:
        for side in wish.sides:
            own = tuple(name for name in names if is_of_side(name, side))
            if not own:
                continue
            films = WeighedFilms(wish=wish, within=within, names=own, threads=threads, begin=begin)
            best = films.fewest(side)
            fit_not += films.fit_not
            if best is None:
                nothing += own
            else:
                found.append(best[0])
                more.append(best[1])
    return VisitPlan(
        wish=wish,
        within=within,
        sides=tuple(found),
        more=tuple(more),
        nothing=tuple(nothing),
        fit_not=tuple(dict.fromkeys(fit_not)),
    )


def wanted_places(wish: VisitWish, within: PlannedMouth) -> tuple[str, ...]:
    """The surfaces and crests that a visit is to show, by quadrant.

    Raises
    ------
    NoToothToShowError, NotThereError, SurfaceNotInVisitError
    """
    for tooth in wish.teeth:
        if tooth not in within.teeth:
            raise NotThereError(tooth, sorted(within.teeth))
    sites = visit_sites(wish.by.question, within.teeth, wish.sides, closed=within.closed)
    names = [name for name in sites.needed if not wish.teeth or int(name[:2]) in wish.teeth]
    if not names:
        raise NoToothToShowError(wish.teeth)
    return tuple(sorted(names, key=site_order))


__all__ = [
    "VISIT_PLAN_FORMAT",
    "NoToothToShowError",
    "VisitPlan",
    "plan_visit",
    "wanted_places",
]

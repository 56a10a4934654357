"""The films of one side of a visit that are weighed, and which of them to take."""

from dataclasses import dataclass, field, replace

import numpy as np

from bitewright.equipment.receptors import Receptor
from bitewright.errors import BitewrightError
from bitewright.exposing.exposure import fitting
from bitewright.exposing.scatter import Scatter
from bitewright.mouth.numbering import Side
from bitewright.planning.best_aim import Plan
from bitewright.planning.ladder import HandsAsked, StepKind, ladder
from bitewright.planning.plan_by_odds import plan_by_odds
from bitewright.quality.questions import AnyQuestion, NamedQuestion, unreadable_share
from bitewright.quality.views import View
from bitewright.row_bands import Threads
from bitewright.steps import Begin
from bitewright.tasks.visit.planned_mouth import PlannedMouth
from bitewright.tasks.visit.visit_wish import VisitWish
from bitewright.visit.fewest_films import FilmToTake, SideOfVisit, fewest_films
from bitewright.visit.odds import DRAWS, DrawnMouths, Flags, shown_when_drawn
from bitewright.visit.sites import bitewing_views

SEED = 0


def asked_of_view(of_view: View, question: AnyQuestion, within: PlannedMouth) -> AnyQuestion | None:
    """What a visit's question asks of one view: of named surfaces, those that it is to show.

    None where it is to show none of them.
    """
    if not isinstance(question, NamedQuestion) or not question.surfaces:
        return question
    shown = within.asked_of(of_view).surfaces
    surfaces = tuple(name for name in question.surfaces if name in shown)
    return replace(question, surfaces=surfaces) if surfaces else None


@dataclass(kw_only=True, eq=False)
class WeighedFilms:
    """The films of one side that are weighed."""

    wish: VisitWish
    within: PlannedMouth
    names: tuple[str, ...]
    threads: Threads
    begin: Begin
    fit_not: list[str] = field(default_factory=list)

    def fewest(self, side: Side) -> tuple[SideOfVisit, SideOfVisit] | None:
        """The fewest, and one more if there is one, of usual films or of what the room allows."""
        asked = {
            of_view: question
            for of_view in bitewing_views((side,))
            if set(self.within.asked_of(of_view).names) & set(self.names)
            and (question := self._asked(of_view)) is not None
        }
        usual = [self.wish.taken_with.receptor, *self.wish.receptors]
        weighed = [
            film
            for of_view, question in asked.items()
            for receptor in dict.fromkeys(usual)
            if (film := self._usual(of_view, receptor, question)) is not None
        ]
        best = fewest_films(self.names, weighed, self.wish.hand)
        if best is None or best.not_shown:
            for of_view, question in asked.items():
                weighed += self._by_ladder(of_view, question)
            best = fewest_films(self.names, weighed, self.wish.hand)
        if best is None:
            return None
        more = fewest_films(self.names, weighed, self.wish.hand, beyond=len(best.films))
        return best, more or best

    def _asked(self, of_view: View) -> AnyQuestion | None:
        return asked_of_view(of_view, self.wish.by.question, self.within)

    def _usual(self, of_view: View, receptor: Receptor, question: AnyQuestion) -> FilmToTake | None:
        self.begin(f"{of_view.title}, {receptor.title}")
        try:
            plan = plan_by_odds(
                of_view,
                self.within.station(of_view, replace(self.wish.taken_with, receptor=receptor)),
                self.wish.hands[self.wish.hand],
                generator=np.random.default_rng(SEED),
                question=question,
                threads=self.threads,
            ).plan
            fitting(plan.exposure)
        except BitewrightError as error:
            self.fit_not.append(f"{of_view.title}, {receptor.title}: {error}")
            return None
        return self._weighed(plan)

    def _by_ladder(self, of_view: View, question: AnyQuestion) -> list[FilmToTake]:
        """What the ladder would try in its place."""
        tried = ladder(
            of_view,
            self.within.station(of_view, self.wish.taken_with),
            replace(self.wish.owned, steps=INSTEAD & self.wish.owned.steps),
            HandsAsked(scatters=self.wish.hands, decides=self.wish.hand, seed=SEED),
            question=question,
            threads=self.threads,
            begin=self.begin,
        ).tried
        return [self._weighed(each.plan) for each in tried if each.plan is not None]

    def _weighed(self, plan: Plan) -> FilmToTake:
        shown = {
            hand: self._shown(plan, scatter, stream)
            for stream, (hand, scatter) in enumerate(self.wish.hands.items())
        }
        return FilmToTake(plan=plan, shown=shown)

    def _shown(self, plan: Plan, scatter: Scatter, stream: int) -> Flags:
        """In the same drawn mouths for all films, each film with slips of its own."""
        own = [SEED, stream, *map(ord, f"{plan.view.name} {plan.station.receptor.name}")]
        seen = self.within.seen_for(plan.view)
        mouths = None
        if seen is not None:
            drawn = seen.drawn(DRAWS, np.random.default_rng([SEED, 1]))
            mouths = DrawnMouths(belief=seen, drawn=drawn)
        return shown_when_drawn(
            plan,
            self.names,
            scatter.draw(np.random.default_rng(own), DRAWS),
            mouths=mouths,
            unreadable_share=unreadable_share(self.wish.by.question),
            generator=np.random.default_rng([SEED, 2]),
            threads=self.threads,
        )


INSTEAD = frozenset(
    {StepKind.TILTED, StepKind.OFF_RING, StepKind.SMALLER, StepKind.PLATE_OR_FILM, StepKind.UPRIGHT}
)
"""The steps of the ladder that are weighed where a usual film does not show all. Our choice."""


__all__ = ["WeighedFilms", "asked_of_view"]

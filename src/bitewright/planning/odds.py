"""How surely a set-up serves: by hand, in the mouth as described and in one that nobody knows."""

import tomllib
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from importlib.resources import files

import numpy as np

from bitewright.exposing.exposure import Station, station
from bitewright.exposing.project import Shapes
from bitewright.exposing.scatter import Scatter
from bitewright.exposing.seating import nearest_fit_mm
from bitewright.mouth.outlines import Outlines, build_outlines
from bitewright.mouth.population_mouth import Regularity, population_mouth
from bitewright.planning.best_aim import Plan, Setting
from bitewright.planning.expected_success import Success, served
from bitewright.planning.slipped import slipped
from bitewright.planning.stated_hands import stated_hands
from bitewright.quality.criteria import CriterionName, Question
from bitewright.quality.predicted import asked
from bitewright.quality.questions import AnyQuestion
from bitewright.quality.views import View
from bitewright.row_bands import ALONE, Threads

DRAWS = 1000
"""Exposures of one hand in a mouth as described. Our choice."""

DRAWS_OF_EACH = 60
"""Exposures in each of the mouths that stand for one that nobody knows. Our choice."""

OPERATOR = "operator"


@dataclass(frozen=True, slots=True, kw_only=True)
class HandOdds:
    """How surely a set-up serves in one hand.

    Parameters
    ----------
    hand : str
        The name of a stated hand, or `OPERATOR` for that of a Scatter.
    in_this_mouth : Success
        In the mouth as it is described.
    in_any_mouth : Success
        The same set-up, seated where it fits, in mouths that stand for the population's.
    """

    hand: str
    in_this_mouth: Success
    in_any_mouth: Success


def odds_of(
    plan: Plan,
    scatter: Scatter | None,
    *,
    seed: int,
    believed: Shapes | None = None,
    question: AnyQuestion = Question.ENAMEL,
    threads: Threads = ALONE,
) -> tuple[HandOdds, ...]:
    """The odds of a plan in an operator's hand, or in the stated hands where none is given.

    Our model: a hand's slips are normal (`Scatter`), and each exposure serves or not; what is not
    known of a mouth is the spread of the drawn population, half of it calmer. Few mouths stand for
    it, for each takes a tenth of a second to draw: `mouths_for_odds.toml`.

    Parameters
    ----------
    plan : Plan
    scatter : Scatter or None
    seed : int
        Of what is drawn.
    believed : Shapes, optional
        `DRAWS` mouths drawn from what films taught of this one; as described, if left out.
    question : AnyQuestion
    threads : Threads
    """
    hands = (
        {OPERATOR: scatter}
        if scatter is not None
        else {name: hand.scatter for name, hand in stated_hands().items()}
    )
    others = [_elsewhere(plan.station, outlines) for outlines in _drawn()]
    found = []
    for name, hand in hands.items():
        generator = np.random.default_rng(seed)
        here = slipped(plan.station, plan.setting, hand.draw(generator, DRAWS))
        of = asked(plan.view, plan.station)
        known = served(
            here,
            of,
            question=question,
            shapes=believed,
            mouth_of=None if believed is None else np.arange(DRAWS),
            threads=threads,
        ).success()
        every = [
            _in(other, plan.view, plan.setting, hand, generator, question, threads)
            for other in others
        ]
        found.append(HandOdds(hand=name, in_this_mouth=known, in_any_mouth=over_mouths(every)))
    return tuple(found)


def over_mouths(each: Sequence[Success]) -> Success:
    """Expected success over mouths, each as likely as another; its error is that of the mouths."""
    chances = np.array([one.chance for one in each])
    often: dict[CriterionName, float] = {}
    for one in each:
        for name, share in one.fails_most:
            often[name] = often.get(name, 0.0) + share / len(each)
    return Success(
        chance=float(chances.mean()),
        error=float(chances.std(ddof=1) / np.sqrt(len(each))) if len(each) > 1 else 0.0,
        shown=float(np.mean([one.shown for one in each])),
        fails_most=tuple(sorted(often.items(), key=lambda pair: -pair[1])),
    )


def _in(
    other: Station,
    view: View,
    setting: Setting,
    hand: Scatter,
    generator: np.random.Generator,
    question: AnyQuestion,
    threads: Threads,
) -> Success:
    """Of the same set-up in another mouth, as near the teeth as the receptor fits there."""
    lingual = float(nearest_fit_mm(other.seating, setting.placement())[0])
    there = replace(setting, lingual_mm=lingual)
    exposures = slipped(other, there, hand.draw(generator, DRAWS_OF_EACH))
    return served(exposures, asked(view, other), question=question, threads=threads).success()


def _elsewhere(at: Station, outlines: Outlines) -> Station:
    return station(outlines, at.region, at.receptor, at.holder, at.tube)


@lru_cache(maxsize=1)
def _drawn() -> tuple[Outlines, ...]:
    """Those mouths of the population that stand for all."""
    return tuple(
        build_outlines(population_mouth(seed, regularity=regularity))
        for regularity, seed in standing_mouths()
    )


@lru_cache(maxsize=1)
def standing_mouths() -> tuple[tuple[Regularity, int], ...]:
    """How regular, and by which seed, each mouth is that stands for one that nobody knows."""
    text = (files("bitewright.planning") / "tables" / "mouths_for_odds.toml").read_text("utf-8")
    return tuple(
        (Regularity[kind.upper()], seed)
        for kind, seeds in tomllib.loads(text).items()
        for seed in seeds
    )


__all__ = ["DRAWS", "OPERATOR", "HandOdds", "odds_of", "over_mouths", "standing_mouths"]

"""How likely a plan comes off at the first exposure, in the hands of one operator."""

from dataclasses import dataclass

import numpy as np

from bitewright.exposing.scatter import Scatter
from bitewright.planning.best_aim import Plan
from bitewright.planning.slipped import slipped
from bitewright.quality.criteria import CriterionName, Question
from bitewright.quality.predicted import asked, predict
from bitewright.quality.questions import AnyQuestion
from bitewright.quality.rating import Outcome
from bitewright.row_bands import ALONE, Threads

DRAWS = 4000
"""Exposures drawn: a chance is then known to within 0.8 points (one standard deviation)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstTime:
    """Chances of one exposure after a plan.

    Parameters
    ----------
    as_planned : float
        That no criterion comes out worse than planned.
    none_failed : float
        That no criterion fails.
    costs_most : CriterionName or None
        The criterion that most often comes out worse than planned; None if none ever does.
    draws : int
        Exposures drawn.
    """

    as_planned: float
    none_failed: float
    costs_most: CriterionName | None
    draws: int


def first_time(
    plan: Plan,
    scatter: Scatter,
    rng: np.random.Generator,
    *,
    question: AnyQuestion = Question.ENAMEL,
    threads: Threads = ALONE,
) -> FirstTime:
    """Chances of a plan when the operator's usual errors are added to it.

    The mouth is taken to be as described, errors to come in as in `slipped`.

    Our model: the operator's errors normal (`Scatter`), drawn, each exposure rated; the shares are
    the chances.
    """
    exposures = slipped(plan.station, plan.setting, scatter.draw(rng, DRAWS))
    rating = predict(
        exposures, asked(plan.view, plan.station), question=question, threads=threads
    ).rating
    planned = plan.prediction.rating.outcomes
    good = (rating.outcomes <= planned) | (rating.outcomes == Outcome.NOT_ASKED)
    lost = (~good).sum(axis=0)
    worst = int(lost.argmax())
    return FirstTime(
        as_planned=float(good.all(axis=1).mean()),
        none_failed=float((rating.outcomes != Outcome.FAILED).all(axis=1).mean()),
        costs_most=rating.names[worst] if lost[worst] else None,
        draws=DRAWS,
    )


__all__ = ["DRAWS", "FirstTime", "first_time"]

"""The one further exposure that likely wins most of what a visit leaves unread."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from bitewright.errors import BitewrightError
from bitewright.estimation.mouth_belief import MouthBelief
from bitewright.exposing.scatter import Scatter
from bitewright.mouth.numbering import Side
from bitewright.planning.best_aim import Plan, best_aim
from bitewright.quality.questions import AnyQuestion, unreadable_share
from bitewright.quality.views import View
from bitewright.row_bands import ALONE, Threads
from bitewright.tasks.catalogue.named import Equipment, station_for
from bitewright.visit.odds import Odds, exposure_odds

SEED = 0
"""Of what is drawn, so that the same visit says the same."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class BestExposure:
    """The view that likely wins most, its plan and its odds; what does not fit is left out."""

    view: View
    plan: Plan
    odds: Odds


def best_exposure(
    views: Sequence[View],
    names: Sequence[str],
    beliefs: Mapping[Side, MouthBelief],
    by: Equipment,
    scatter: Scatter,
    question: AnyQuestion,
    *,
    threads: Threads = ALONE,
) -> BestExposure | None:
    """Of some views the one that likely shows most of some places; None where none fits.

    Parameters
    ----------
    views : sequence of View
    names : sequence of str
        Surfaces and crests.
    beliefs : mapping of Side to MouthBelief
        The mouth as seen from each view's side.
    by : Equipment
    scatter : Scatter
        The hand's.
    question : AnyQuestion
    threads : Threads
    """
    found = []
    for of_view in views:
        seen = beliefs[of_view.region.side]
        try:
            plan = best_aim(
                of_view,
                station_for(of_view, seen.mouth(), by),
                question=question,
                threads=threads,
            )
        except BitewrightError:  # a receptor that does not fit there at all
            continue
        odds = exposure_odds(
            plan,
            seen,
            scatter,
            names,
            unreadable_share=unreadable_share(question),
            generator=np.random.default_rng(SEED),
            threads=threads,
        )
        found.append(BestExposure(view=of_view, plan=plan, odds=odds))
    return max(found, key=lambda each: each.odds.expected, default=None)


__all__ = ["BestExposure", "best_exposure"]

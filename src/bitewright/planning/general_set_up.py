"""The set-up of a view in a mouth that nobody knows: what setting up anew comes back to."""

from functools import lru_cache

import numpy as np

from bitewright.equipment.holders import Holder
from bitewright.equipment.receptors import Receptor
from bitewright.equipment.tubes import Tube
from bitewright.estimation.mouth_prior import closed_teeth, mean_mouth
from bitewright.exposing.exposure import Station, station
from bitewright.mouth.outlines import build_outlines
from bitewright.planning.best_aim import Held, Setting
from bitewright.planning.plan_by_odds import plan_by_odds
from bitewright.planning.stated_hands import MIDDLING, stated_hands
from bitewright.quality.questions import AnyQuestion
from bitewright.quality.views import View, view


def general_set_up(of: View, at: Station, question: AnyQuestion) -> Setting:
    """As `bitewright plan` sets a view up for a practised hand, the mouth not known.

    Made in a second and kept, since it is the same for every film.

    Parameters
    ----------
    of : View
    at : Station
        Its teeth and equipment count, its mouth does not.
    question : AnyQuestion
    """
    teeth = tuple(sorted(at.outlines.codes))
    closed = closed_teeth(at.outlines.mouth)
    return _kept(of.name, teeth, closed, at.receptor, at.holder, at.tube, question)


@lru_cache(maxsize=32)
def _kept(
    name: str,
    teeth: tuple[int, ...],
    closed: tuple[int, ...],
    receptor: Receptor,
    holder: Holder,
    tube: Tube,
    question: AnyQuestion,
) -> Setting:
    of = view(name)
    outlines = build_outlines(mean_mouth(teeth, closed))
    usual = station(outlines, of.region, receptor, holder, tube)
    return set_up_by_odds(of, usual, question)


def set_up_by_odds(of: View, at: Station, question: AnyQuestion) -> Setting:
    """The same in the mouth of a station."""
    planned = plan_by_odds(
        of,
        at,
        stated_hands()[MIDDLING].scatter,
        generator=np.random.default_rng(0),
        held=Held(weighs_leaving=False),
        question=question,
    )
    return planned.plan.setting


__all__ = ["general_set_up", "set_up_by_odds"]

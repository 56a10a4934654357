"""Plans where the mouth is believed and not known: the aim that likely opens most contacts."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from bitewright.estimation.mouth_belief import MouthBelief
from bitewright.estimation.mouth_shapes import mouth_shapes
from bitewright.exposing.exposure import Exposures, aimed
from bitewright.exposing.project import Shapes, project_shapes
from bitewright.planning.best_aim import Plan, Setting
from bitewright.quality.criteria import Question, overlap_limits
from bitewright.quality.predicted import Asked, asked, predict, rated
from bitewright.quality.questions import AnyQuestion, unreadable_share
from bitewright.row_bands import ALONE, Threads

Floats = NDArray[np.float64]

DRAWS = 150
AROUND_DEG = np.arange(-10.0, 10.1, 1.0)
"""Where a better aim than the middle mouth's is looked for. Our choice."""

UNREADABLE_COSTS = 2.0
"""A contact that becomes unreadable weighs as much as this many left open. Our choice."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class BelievedPlan:
    """A plan for a believed mouth and its chances.

    Parameters
    ----------
    plan : Plan
        For the middle of the belief; its aim is best over the whole belief.
    open_share : (C,) float array
        Share of drawn mouths in which each contact of the view is open.
    """

    plan: Plan
    open_share: Floats


def plan_for_belief(
    middle: Plan,
    belief: MouthBelief,
    *,
    generator: np.random.Generator,
    question: AnyQuestion = Question.ENAMEL,
    threads: Threads = ALONE,
) -> BelievedPlan:
    """From the plan of a belief's middle mouth to the swing that likely opens most contacts.

    Our model: over mouths drawn from the belief, the swing with the most contacts expected open,
    less a cost for those expected unreadable.

    Parameters
    ----------
    middle : Plan
        `best_aim` at a station of ``belief.mouth()``.
    """
    region = middle.station.region
    from_here = belief.seen_from(region.side)
    of = asked(middle.view, middle.station)
    shapes = mouth_shapes(belief.teeth, region, belief.closed).rebuilt_at(from_here.mean, region)
    drawn = shapes.of(from_here.drawn(DRAWS, generator), of.targets)
    settings = [
        replace(middle.setting, ring_offset_deg=middle.setting.ring_offset_deg + float(step))
        for step in AROUND_DEG
    ]
    states = [_overlaps(_exposure(middle, each), of, drawn, threads) for each in settings]
    limits = overlap_limits()
    enamel = np.array([site.enamel_mm for site in of.targets.sites])
    beyond = unreadable_share(question) * enamel
    worth = [
        (each <= limits.open_mm).mean(axis=0).sum()
        - UNREADABLE_COSTS * (each > beyond).mean(axis=0).sum()
        for each in states
    ]
    best = int(np.argmax(_smoothed(np.array(worth))))
    exposure = _exposure(middle, settings[best])
    plan = replace(
        middle,
        setting=settings[best],
        exposure=exposure,
        prediction=predict(exposure, of, question=question),
    )
    return BelievedPlan(plan=plan, open_share=(states[best] <= limits.open_mm).mean(axis=0))


def _exposure(middle: Plan, setting: Setting) -> Exposures:
    return aimed(middle.station, middle.exposure.seat, setting.aim())


def _overlaps(exposure: Exposures, of: Asked, drawn: Shapes, threads: Threads) -> Floats:
    """Overlaps (D, C) of one exposure in drawn mouths. [mm]"""
    projected = project_shapes(
        exposure.repeated(DRAWS), of.targets, drawn, mouth_of=np.arange(DRAWS), threads=threads
    )
    return rated(*projected, of).measurements.overlap_mm


def _smoothed(values: Floats) -> Floats:
    """Mean of each with its neighbours, so that drawing does not decide."""
    return np.asarray(np.convolve(np.pad(values, 1, mode="edge"), np.ones(3) / 3.0, mode="valid"))


__all__ = ["BelievedPlan", "plan_for_belief"]

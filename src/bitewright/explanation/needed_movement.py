"""How far an estimated exposure lies from the best one for the mouth it was taken in.

The best exposure is planned for the estimated mouth; how it shifts with what is not known of the
mouth is found by planning again, near by, for mouths drawn from the estimate.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from bitewright.estimation.estimate import Estimate
from bitewright.estimation.exposure_unknowns import NAMES, Whereabouts, exposures_at, pose_of
from bitewright.explanation.drawn_states import drawn_states
from bitewright.exposing.aim import Aim
from bitewright.exposing.exposure import Exposures, aimed, station
from bitewright.exposing.placement import Placement
from bitewright.exposing.project import project_shapes
from bitewright.exposing.seating import Seat, seat
from bitewright.planning.best_aim import Plan, best_aim, displacement_cost, setting_cost
from bitewright.quality.criteria import Question
from bitewright.quality.predicted import Asked, asked, rated
from bitewright.quality.questions import AnyQuestion
from bitewright.quality.views import View
from bitewright.row_bands import ALONE, Threads
from bitewright.steps import Begin, unwatched

Floats = NDArray[np.float64]

HEIGHT = NAMES.index("height_mm")

DRAWS = 24
AROUND_DEG = np.linspace(-9.0, 9.0, 13)
AROUND_MM = np.linspace(-4.0, 4.0, 9)
"""Where a drawn mouth's own best exposure is looked for, about the plan. Our choice."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class NeededMovement:
    """From where each drawn exposure stands to the best one of its drawn mouth.

    ``plan`` is the best exposure of the estimated mouth, ``now`` the estimated one; ``draws`` holds
    D differences of every part of a pose. ``reseat_mm`` and its draws are the part of the height
    that is the hand's, without what palate and floor did. [mm] ``ring_offset_draws_deg``: of the
    best exposure of each drawn mouth.
    """

    plan: Plan
    now: Exposures
    centre: Whereabouts
    draws: Whereabouts
    reseat_mm: float
    reseat_draws_mm: Floats
    ring_offset_draws_deg: Floats


def needed_movement(
    found: Estimate,
    view: View,
    *,
    film: int = 0,
    question: AnyQuestion = Question.ENAMEL,
    generator: np.random.Generator,
    threads: Threads = ALONE,
    begin: Begin = unwatched,
) -> NeededMovement:
    """Plan for the estimated mouth, and again for mouths and exposures drawn from the estimate.

    Our model: the best exposure is found anew for each draw, near the one for the estimated mouth.
    """
    evidence = found.films[film]
    at = evidence.station
    there = station(found.shapes.outlines, at.region, at.receptor, at.holder, at.tube)
    plan = best_aim(view, there, question=question, threads=threads, begin=begin)
    # Where it stood is told against the middle mouth; what it shows, of the estimated one.
    now = replace(exposures_at(at, found.unknowns[film][None]), station=there)
    states = drawn_states(found, DRAWS, generator)
    count = len(NAMES) * len(found.films)
    unknowns = states[:, :count].reshape(len(states), len(found.films), -1)[:, film]
    search = _NearSearch(plan, found, states[:, count:], question, threads)
    best = _best_near(search, begin)
    along = (at.seating.frame.front_mouth, at.seating.frame.tongue_mouth)
    start, end = pose_of(exposures_at(at, unknowns), *along), pose_of(best, *along)
    return NeededMovement(
        plan=plan,
        now=now,
        centre=_between(pose_of(now, *along), pose_of(plan.exposure, *along)),
        draws=_between(start, end),
        reseat_mm=-float(found.unknowns[film, HEIGHT]),
        reseat_draws_mm=-unknowns[:, HEIGHT],
        ring_offset_draws_deg=search.settings["ring_offset_deg"],
    )


def _best_near(search: "_NearSearch", begin: Begin) -> Exposures:
    """The best exposure of each drawn mouth, one setting after another about the plan's."""
    for name, around in (
        ("ring_offset_deg", AROUND_DEG),
        ("vertical_deg", AROUND_DEG),
        ("forward_mm", AROUND_MM),
        ("ring_offset_deg", 0.5 * AROUND_DEG),
    ):
        begin("how far the best aim is known")
        search.improve(name, around)
    return search.exposures(search.settings)


class _NearSearch:
    """Settings (D) of drawn mouths, improved one at a time."""

    def __init__(
        self, plan: Plan, found: Estimate, amounts: Floats, question: AnyQuestion, threads: Threads
    ) -> None:
        self.plan, self.question, self.threads = plan, question, threads
        self.of: Asked = asked(plan.view, plan.station)
        self.shapes = found.shapes.of(amounts, self.of.targets)
        self.count = len(amounts)
        fields = ("forward_mm", "lingual_mm", "turn_deg", "ring_offset_deg", "vertical_deg")
        self.settings = {name: np.full(self.count, getattr(plan.setting, name)) for name in fields}

    def improve(self, name: str, around: Floats) -> None:
        """Move one setting of every mouth to where its cost is least; steps (K,) ``around`` it."""
        tried = self.settings[name][:, None] + around
        repeated = {key: np.repeat(value, len(around)) for key, value in self.settings.items()}
        exposures = self.exposures(repeated | {name: tried.ravel()})
        mouth_of = np.repeat(np.arange(self.count), len(around))
        projected = project_shapes(
            exposures, self.of.targets, self.shapes, mouth_of=mouth_of, threads=self.threads
        )
        cost = setting_cost(rated(*projected, self.of, question=self.question), exposures)
        place = tried.ravel() if name == "forward_mm" else repeated["forward_mm"]
        cost = cost + displacement_cost(place, repeated["turn_deg"])
        self.settings[name] = _least(tried, np.log(cost.reshape(tried.shape)))

    def exposures(self, settings: dict[str, Floats]) -> Exposures:
        """Exposures at settings, each (E,); a placement that repeats is seated once."""
        places = np.stack([settings[k] for k in ("forward_mm", "lingual_mm", "turn_deg")], axis=1)
        own, which = np.unique(places, axis=0, return_inverse=True)
        forward, lingual, turn = own.T
        seated = seat(
            self.plan.station.seating,
            Placement(forward_mm=forward, lingual_mm=lingual, turn_deg=turn),
        )
        again = Seat(*(getattr(seated, name)[which.ravel()] for name in Seat.__slots__))
        aim = Aim(
            ring_offset_deg=settings["ring_offset_deg"], vertical_deg=settings["vertical_deg"]
        )
        return aimed(self.plan.station, again, aim)


def _least(tried: Floats, cost: Floats) -> Floats:
    """Where each row's cost is least, between the places tried by a parabola."""
    row = np.arange(len(tried))
    k = np.clip(cost.argmin(axis=1), 1, tried.shape[1] - 2)
    below, here, above = (cost[row, k + step] for step in (-1, 0, 1))
    with np.errstate(invalid="ignore", divide="ignore"):
        shift = 0.5 * (below - above) / (below - 2.0 * here + above)
    shift = np.clip(np.nan_to_num(shift), -1.0, 1.0)
    return np.asarray(tried[row, k] + shift * (tried[row, 1] - tried[row, 0]))


def _between(start: Whereabouts, end: Whereabouts) -> Whereabouts:
    return Whereabouts(
        **{name: getattr(end, name) - getattr(start, name) for name in Whereabouts.__slots__}
    )


__all__ = ["NeededMovement", "needed_movement"]

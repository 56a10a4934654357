"""How likely one further exposure shows each surface and crest that no film of a visit shows.

Our model: the mouth is drawn from what is believed of it, the exposure from the aim that is best in
the middle of that belief plus a hand's slips, the enamel from its own spread; what the drawn films
show is counted.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from bitewright.estimation.mouth_belief import MouthBelief
from bitewright.estimation.mouth_shapes import mouth_shapes
from bitewright.exposing.landmarks import Landmarks, Status
from bitewright.exposing.project import project, project_shapes
from bitewright.exposing.scale import Scale
from bitewright.exposing.scatter import Scatter
from bitewright.marking.rating_chances import PRIOR
from bitewright.planning.best_aim import Plan
from bitewright.planning.slipped import slipped
from bitewright.quality.measure import measure
from bitewright.quality.predicted import asked
from bitewright.quality.wanted import edges
from bitewright.row_bands import ALONE, Threads
from bitewright.visit.sites import whole_side

Flags = NDArray[np.bool_]
Floats = NDArray[np.float64]

DRAWS = 600
"""Exposures drawn, each of a mouth of its own: a chance is known to 2 points. Our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Odds:
    """What one exposure may win.

    Parameters
    ----------
    places : dict of str to float
        How likely each place that was asked for can be read on it.
    all_of_them : float
        How likely all of them can.
    at_least_one : float
        How likely one or more can.
    """

    places: dict[str, float]
    all_of_them: float
    at_least_one: float

    @property
    def expected(self) -> float:
        """Places won, on average."""
        return sum(self.places.values())


def exposure_odds(
    plan: Plan,
    belief: MouthBelief,
    scatter: Scatter,
    names: Sequence[str],
    *,
    unreadable_share: float,
    generator: np.random.Generator,
    threads: Threads = ALONE,
) -> Odds:
    """How likely one exposure after a plan shows places that can be read.

    Parameters
    ----------
    plan : Plan
        At a station of the middle of ``belief``.
    belief : MouthBelief
        As seen from the side of the plan's view.
    scatter : Scatter
        The hand's slips about what it means to do.
    names : sequence of str
        Surfaces and crests of the plan's side; those of another side are never shown.
    unreadable_share : float
        As in `VisitSites`.
    generator : numpy Generator
    threads : Threads
    """
    drawn = belief.drawn(DRAWS, generator)
    errors = scatter.draw(generator, DRAWS)
    won = shown_when_drawn(
        plan,
        names,
        errors,
        mouths=DrawnMouths(belief=belief, drawn=drawn),
        unreadable_share=unreadable_share,
        generator=generator,
        threads=threads,
    )
    return Odds(
        places=dict(zip(names, won.mean(axis=0).tolist(), strict=True)),
        all_of_them=float(won.all(axis=1).mean()),
        at_least_one=float(won.any(axis=1).mean()),
    )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class DrawnMouths:
    """Mouths drawn from a belief, as seen from one side.

    Parameters
    ----------
    belief : MouthBelief
    drawn : (D, P) float array
        As `MouthBelief.drawn` gives them.
    """

    belief: MouthBelief
    drawn: Floats


def shown_when_drawn(
    plan: Plan,
    names: Sequence[str],
    errors: Floats,
    *,
    mouths: DrawnMouths | None,
    unreadable_share: float,
    generator: np.random.Generator,
    threads: Threads = ALONE,
) -> Flags:
    """Which places of a plan's side each drawn exposure shows so that they can be read, (D, K).

    Parameters
    ----------
    plan : Plan
    names : sequence of K str
        Those of another side are never shown.
    errors : (D, 4) float array
        Slips, as `Scatter.draw` gives them.
    mouths : DrawnMouths or None
        As many as there are slips; None for the mouth of the plan's station as it is described,
        its enamel too.
    unreadable_share : float
    generator : numpy Generator
        Of the enamel, where mouths are drawn.
    threads : Threads
    """
    at, region = plan.station, plan.view.region
    of = asked(plan.view, at, every_contact=True)
    exposures = slipped(at, plan.setting, errors)
    if mouths is None:
        teeth = frozenset(at.outlines.codes)
        landmarks, scale = project(exposures, of.targets, threads=threads)
    else:
        teeth = frozenset(mouths.belief.teeth)
        seen = mouths.belief
        middle = mouth_shapes(seen.teeth, region, seen.closed)
        shapes = middle.rebuilt_at(seen.mean, region)
        landmarks, scale = project_shapes(
            exposures,
            of.targets,
            shapes.of(mouths.drawn, of.targets),
            mouth_of=np.arange(len(errors)),
            threads=threads,
        )
    sites = [site.pair for site in of.targets.sites]
    every = whole_side(plan.view, teeth)
    # Across a gap nothing is taken to overlap.
    want = replace(every, contacts=tuple(pair for pair in every.contacts if pair in sites))
    columns = [sites.index(pair) for pair in want.contacts]
    own = Scale(
        magnification=scale.magnification[:, columns],
        cos_obliquity=scale.cos_obliquity[:, columns],
        enamel_mm=scale.enamel_mm[columns],
    )
    share = measure(landmarks, own, want, block_mm=float("nan")).enamel_share
    spread = 0.0 if mouths is None else PRIOR.enamel.sd_share
    shut = share > unreadable_share * (1.0 + spread * generator.standard_normal(share.shape))
    over = {
        name: shut[:, column] for column, pair in enumerate(want.contacts) for name in edges(pair)
    }
    return np.stack([_is_read(landmarks, over, name) for name in names], axis=1)


def _is_read(landmarks: Landmarks, over: dict[str, Flags], name: str) -> Flags:
    """Whether each drawn exposure shows a place with nothing over it that matters, (DRAWS,)."""
    seen = np.asarray(landmarks.status_of(name) == Status.SEEN)
    return np.asarray(seen & ~over[name]) if name in over else seen


__all__ = ["DRAWS", "DrawnMouths", "Odds", "exposure_odds", "shown_when_drawn"]

"""Estimate the films of a visit together with the mouth they share."""

from collections.abc import Sequence
from dataclasses import replace

from bitewright.equipment.holders import Holder
from bitewright.equipment.tubes import Tube
from bitewright.errors import BitewrightError
from bitewright.estimation.estimate import Estimate, FilmEvidence, estimate
from bitewright.estimation.lost_bone import estimate_with_lost_bone
from bitewright.estimation.mouth_belief import MouthBelief, population
from bitewright.estimation.mouth_prior import mean_mouth
from bitewright.estimation.mouth_shapes import MouthShapes, mouth_shapes
from bitewright.exposing.exposure import station
from bitewright.mouth.mouth import Mouth
from bitewright.mouth.outlines import Outlines, build_outlines
from bitewright.steps import Begin
from bitewright.tasks.assess.visit_films import VisitFilm, teeth_of_visit


def estimate_known(
    films: Sequence[VisitFilm], mouth: Mouth, holder: Holder, tube: Tube, *, begin: Begin
) -> Estimate:
    """The first film's exposure in a mouth that is known, with the other films of its side."""
    outlines = build_outlines(mouth)
    region = films[0].view.region
    own = [each for each in films if each.view.region.side is region.side]
    evidence = [_evidence(each, outlines, holder, tube) for each in own]
    return estimate(evidence, MouthShapes.known(outlines, region), None, begin=begin)


def estimate_learned(
    films: Sequence[VisitFilm],
    before: MouthBelief | None,
    holder: Holder,
    tube: Tube,
    *,
    begin: Begin,
    closed: tuple[int, ...] = (),
) -> tuple[Estimate, MouthBelief]:
    """The first film's exposure, and what is believed of the mouth after all films.

    Films of the other side go first: what they teach goes into the side that is asked for.

    Parameters
    ----------
    films : sequence of VisitFilm
    before : MouthBelief or None
        What earlier films taught; None for the population.
    holder : Holder
    tube : Tube
    begin : Begin
    closed : tuple of int
        Missing teeth whose spaces have closed, as films show it (`closed_teeth_of_visit`), beside
        those of what was believed before.

    Raises
    ------
    OtherTeethError
        If what was believed before is of other teeth.
    """
    teeth = teeth_of_visit(films)
    belief = population(teeth) if before is None else _same_teeth(before, teeth)
    # What an earlier film showed closed is so on one that does not show it.
    closed = tuple(sorted({*belief.closed, *closed}))
    belief = replace(belief, closed=closed)
    outlines = build_outlines(mean_mouth(teeth, closed))
    asked_side = films[0].view.region.side
    for side in (asked_side.other, asked_side):
        own = [each for each in films if each.view.region.side is side]
        if not own:
            continue
        believed = belief.seen_from(side)
        evidence = [_evidence(each, outlines, holder, tube) for each in own]
        shapes = mouth_shapes(teeth, own[0].view.region, closed)
        found = estimate_with_lost_bone(evidence, shapes, believed, begin=begin)
        belief = found.belief(believed)
    return found, belief


class OtherTeethError(BitewrightError):
    """A belief is about a mouth with other teeth than the film's."""

    def __init__(self, differing: Sequence[int]) -> None:
        self.differing = tuple(differing)
        listed = ", ".join(map(str, differing))
        super().__init__(
            f"The belief and the film differ in teeth {listed}: give the belief of this mouth, or "
            "learn it again with the teeth that are there now."
        )


def _same_teeth(belief: MouthBelief, teeth: Sequence[int]) -> MouthBelief:
    differing = sorted(set(belief.teeth) ^ set(teeth))
    if differing:
        raise OtherTeethError(differing)
    return belief


def _evidence(of: VisitFilm, outlines: Outlines, holder: Holder, tube: Tube) -> FilmEvidence:
    at = station(outlines, of.view.region, of.receptor, holder, tube)
    return FilmEvidence(landmarks=of.landmarks, station=at)


__all__ = ["OtherTeethError", "estimate_known", "estimate_learned"]

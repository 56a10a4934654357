"""What is believed of a visit's mouth, by side, once its own films have been read."""

from collections.abc import Sequence
from dataclasses import replace

from bitewright.errors import BitewrightError
from bitewright.estimation.mouth_belief import MouthBelief, population
from bitewright.mouth.numbering import Side
from bitewright.steps import unwatched
from bitewright.tasks.assess.estimate_visit import estimate_learned
from bitewright.tasks.assess.taken_film import TakenFilm
from bitewright.tasks.assess.visit_films import (
    VisitFilm,
    closed_teeth_of_visit,
    further_film,
    teeth_of_visit,
)
from bitewright.tasks.catalogue.named import Equipment
from bitewright.visit.film_evidence import FilmOfVisit


def mouth_of_visit(
    films: Sequence[FilmOfVisit], side: Side, by: Equipment, before: MouthBelief | None = None
) -> MouthBelief:
    """The mouth as seen from a side, after what its films teach.

    A contact that stayed shut on a film, because the teeth stand so, is then likely to stay shut on
    the next. Spaces of missing teeth that the films show closed are closed in it, so that what
    overlaps there is not promised.

    Parameters
    ----------
    films : sequence of FilmOfVisit
        Of both sides.
    side : Side
        The side that is asked for.
    by : Equipment
        What the films were taken with, where their marks say nothing of the receptor.
    before : MouthBelief or None
        What earlier films taught; None for the population. Where this visit's films teach nothing,
        it is returned as it is but for spaces that its films show closed.
    """
    taken = [_taken(each, by) for each in films]
    teeth, closed = teeth_of_visit(taken), closed_teeth_of_visit(taken)
    usual = replace(population(teeth) if before is None else before, closed=closed)
    # The asked side goes first: what films of the other side teach goes into it.
    ordered = sorted(taken, key=lambda each: each.view.region.side is not side)
    try:
        _, learned = estimate_learned(
            ordered, before, by.holder, by.tube, begin=unwatched, closed=closed
        )
    except BitewrightError:  # too few marks, or a belief of other teeth
        return usual.seen_from(side)
    return learned.seen_from(side)


def _taken(film: FilmOfVisit, by: Equipment) -> VisitFilm:
    receptor = film.receptor or by.receptor
    return further_film(TakenFilm(marks=film.marks, view=film.view, receptor=receptor), receptor)


__all__ = ["mouth_of_visit"]

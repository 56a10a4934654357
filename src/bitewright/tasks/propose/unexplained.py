"""Whether a mouth and an exposure explain proposed marks, and which of them they leave out."""

from dataclasses import dataclass, replace

from bitewright.equipment.catalogue import Catalogue
from bitewright.errors import BitewrightError
from bitewright.estimation.estimate import Estimate
from bitewright.estimation.losses import with_losses
from bitewright.estimation.mouth_belief import MouthBelief, population
from bitewright.explanation.mark_slips import mark_slips
from bitewright.marking.marked_landmarks import landmarks_from_marks
from bitewright.marking.marks import MarkedFilm
from bitewright.quality.views import view
from bitewright.steps import unwatched
from bitewright.tasks.assess.estimate_visit import estimate_learned
from bitewright.tasks.assess.taken_film import TakenFilm
from bitewright.tasks.assess.usual_equipment import USUAL_HOLDER
from bitewright.tasks.assess.visit_films import VisitFilm, nearest_receptor, teeth_of_visit

FEWEST_MARKS = 12
"""Fewer settle neither a mouth nor an exposure. Our choice."""

FAR_SD = 1.5
"""A mark so many standard deviations from where all others lead one to expect it is doubted: one
that lies right seldom does, for a mouth is allowed more than most differ by. Our choice, after
films of our own mouths on which marks had been moved by a millimetre."""

MOST_MISFIT, MOST_MISFIT_WITH_LOSSES = 0.8, 0.6
"""A film whose marks fit worse in all is doubted whole, unless they fit as well as the second in a
mouth that may have lost bone and teeth. Films that fitted worse than the first: right ones had then
0.2 to 0.4, ones named one tooth off 0.7 to 10. Our choice, after films of our own mouths."""

TUBE = "rectangular-300"


@dataclass(frozen=True, slots=True, kw_only=True)
class Unexplained:
    """What no mouth and exposure explain.

    Parameters
    ----------
    names : frozenset of str
        Marks.
    numbered_off : tuple of int
        Teeth whose crowns' widths fit other names clearly better.
    is_whole_film : bool
        Whether nothing explains the marks as they stand.
    """

    names: frozenset[str]
    numbered_off: tuple[int, ...]
    is_whole_film: bool


def unexplained(marks: MarkedFilm, known: Catalogue) -> Unexplained:
    """What of a film's marks a mouth of the population and a careful hand do not explain.

    Where such mouths explain nothing, mouths that have lost bone and teeth are tried.

    Marks state here how far such marks were measured to lie off, not the wider spreads that are
    handed on: with those, teeth named one place off fit as well as right ones.
    """
    if len(marks.marks) < FEWEST_MARKS:
        return Unexplained(names=frozenset(), numbered_off=(), is_whole_film=True)
    try:
        film = _film(marks, known)
        found = _estimated(film, None, known)
        if found.misfit <= MOST_MISFIT:
            return _left_over(film, found, MOST_MISFIT)
        lost = _left_out_teeth(marks)
        film = _film(replace(marks, absent_teeth=(*marks.absent_teeth, *lost)), known)
        belief = with_losses(population(teeth_of_visit([film])), (*marks.absent_teeth, *lost))
        looser = _estimated(film, belief, known)
    except BitewrightError:
        return Unexplained(names=frozenset(), numbered_off=(), is_whole_film=True)
    told = _left_over(film, looser, MOST_MISFIT_WITH_LOSSES)
    # What lost bone alone explains is still to be looked at.
    return replace(told, names=told.names | _far_crests(found))


def _film(marks: MarkedFilm, known: Catalogue) -> VisitFilm:
    of_view = view(marks.view)
    receptor = known.receptor(marks.receptor) if marks.receptor else None
    landmarks = landmarks_from_marks(
        marks, of_view, pixel_mm=marks.pixel_mm or 0.0, receptor=receptor
    )
    return VisitFilm(
        taken=TakenFilm(marks=marks, view=of_view, receptor=receptor),
        landmarks=landmarks,
        receptor=receptor or nearest_receptor(known, landmarks),
    )


def _estimated(film: VisitFilm, belief: MouthBelief | None, known: Catalogue) -> Estimate:
    return estimate_learned(
        [film], belief, known.holder(USUAL_HOLDER), known.tube(TUBE), begin=unwatched
    )[0]


def _left_out_teeth(marks: MarkedFilm) -> tuple[int, ...]:
    """Teeth without a mark between two that have some: lost, if names are right."""
    shown: dict[int, set[int]] = {}
    for name in marks.marks:
        shown.setdefault(int(name[0]), set()).add(int(name[1]))
    return tuple(
        10 * quadrant + place
        for quadrant, places in sorted(shown.items())
        for place in range(min(places), max(places))
        if place not in places and 10 * quadrant + place not in marks.absent_teeth
    )


def _left_over(film: VisitFilm, found: Estimate, most: float) -> Unexplained:
    beside = found.left_out[0]
    slips = mark_slips(film.landmarks, beside)
    names = {name for name, off in beside.off_sd.items() if off > FAR_SD}
    for slip in (*slips.exchanged, *slips.wide):
        front, back = slip.contact.split("-")
        names |= {f"{front}.distal", f"{back}.mesial"}
    return Unexplained(
        names=frozenset(names),
        numbered_off=tuple(code for each in slips.misnumbered for code in each.codes),
        is_whole_film=found.misfit > most,
    )


def _far_crests(found: Estimate) -> frozenset[str]:
    off_sd = found.left_out[0].off_sd
    return frozenset(
        name for name, off in off_sd.items() if name.endswith(".crest") and off > FAR_SD
    )


__all__ = ["Unexplained", "unexplained"]

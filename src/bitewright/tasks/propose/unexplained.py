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
from bitewright.tasks.propose.other_numbers import other_numbers

FEWEST_MARKS = 12
"""Fewer settle neither a mouth nor an exposure. Our choice."""

FAR_SD = 1.5
"""A mark so many standard deviations from where all others lead one to expect it is doubted: one
that lies right seldom does, for a mouth is allowed more than most differ by. Our choice, after
films of our own mouths on which marks had been moved by a millimetre."""

MOST_MISFIT, MOST_MISFIT_WITH_LOSSES = 0.8, 1.3
"""A film whose marks fit worse than the first is judged in a mouth that may have lost bone and
teeth; where they fit worse than the second there, nothing explains them. Films of real crowns that
were numbered rightly had up to 0.9 there. Our choice, after 24 films of 4 mouths."""

CLEARLY = 2.0
"""Other numbers fit clearly worse where the logarithm of how likely marks are falls by more. On the
same films it fell by 2.8 and more from the right numbers to any others, and rose by 4 and more to
the right ones from wrong. Our choice."""

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
    is_unexplained : bool
        Whether nothing explains the marks as they stand.
    fits_other_numbers : bool
        Whether other numbers explain the marks about as well.
    """

    names: frozenset[str]
    numbered_off: tuple[int, ...]
    is_unexplained: bool
    fits_other_numbers: bool = False

    @property
    def is_whole_film(self) -> bool:
        """Whether the whole film is to be doubted for either."""
        return self.is_unexplained or self.fits_other_numbers


def unexplained(marks: MarkedFilm, known: Catalogue) -> Unexplained:
    """What of a film's marks a mouth of the population and a careful hand do not explain.

    Where such mouths explain little, mouths that have lost bone and teeth are tried, and the same
    marks under other numbers in such mouths.

    Marks state here how far such marks were measured to lie off, not the wider spreads that are
    handed on: with those, teeth named one place off fit as well as right ones.
    """
    nothing = Unexplained(names=frozenset(), numbered_off=(), is_unexplained=True)
    if len(marks.marks) < FEWEST_MARKS:
        return nothing
    try:
        film = _film(marks, known)
        found = _estimated(film, None, known)
        others = tuple(other_numbers(marks, film.landmarks))
        if found.misfit <= MOST_MISFIT and not others:
            return _left_over(film, found)
        with_lost, looser = _with_losses(marks, known)
    except BitewrightError:
        return nothing
    fits = any(_fits_as_well(other, looser, known) for other in others)
    if found.misfit <= MOST_MISFIT:
        return replace(_left_over(film, found), fits_other_numbers=fits)
    told = _left_over(with_lost, looser)
    return replace(
        told,
        # What lost bone alone explains is still to be looked at.
        names=told.names | _far_crests(found),
        is_unexplained=looser.misfit > MOST_MISFIT_WITH_LOSSES,
        fits_other_numbers=fits,
    )


def _fits_as_well(other: MarkedFilm, found: Estimate, known: Catalogue) -> bool:
    """Whether marks are about as likely under other numbers as they were found to be."""
    try:
        _, tried = _with_losses(other, known)
    except BitewrightError:
        return False
    return tried.evidence > found.evidence - CLEARLY


def _with_losses(marks: MarkedFilm, known: Catalogue) -> tuple[VisitFilm, Estimate]:
    """Marks explained by a mouth that may have lost bone, and teeth where there are gaps."""
    lost = (*marks.absent_teeth, *_left_out_teeth(marks))
    film = _film(replace(marks, absent_teeth=lost), known)
    belief = with_losses(population(teeth_of_visit([film])), lost)
    return film, _estimated(film, belief, known)


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


def _left_over(film: VisitFilm, found: Estimate) -> Unexplained:
    beside = found.left_out[0]
    slips = mark_slips(film.landmarks, beside)
    names = {name for name, off in beside.off_sd.items() if off > FAR_SD}
    for slip in (*slips.exchanged, *slips.wide):
        front, back = slip.contact.split("-")
        names |= {f"{front}.distal", f"{back}.mesial"}
    return Unexplained(
        names=frozenset(names),
        numbered_off=tuple(code for each in slips.misnumbered for code in each.codes),
        is_unexplained=False,
    )


def _far_crests(found: Estimate) -> frozenset[str]:
    off_sd = found.left_out[0].off_sd
    return frozenset(
        name for name, off in off_sd.items() if name.endswith(".crest") and off > FAR_SD
    )


__all__ = ["Unexplained", "unexplained"]

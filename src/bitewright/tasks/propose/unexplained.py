"""Whether a mouth and an exposure explain proposed marks, and which of them they leave out."""

from dataclasses import dataclass

from bitewright.equipment.catalogue import Catalogue
from bitewright.errors import BitewrightError
from bitewright.explanation.mark_slips import mark_slips
from bitewright.marking.marked_landmarks import landmarks_from_marks
from bitewright.marking.marks import MarkedFilm
from bitewright.quality.views import view
from bitewright.steps import unwatched
from bitewright.tasks.assess.estimate_visit import estimate_learned
from bitewright.tasks.assess.taken_film import TakenFilm
from bitewright.tasks.assess.usual_equipment import USUAL_HOLDER
from bitewright.tasks.assess.visit_films import VisitFilm, nearest_receptor

FEWEST_MARKS = 12
"""Fewer settle neither a mouth nor an exposure. Our choice."""

FAR_SD = 1.5
"""A mark so many standard deviations from where all others lead one to expect it is doubted: one
that lies right seldom does, for a mouth is allowed more than most differ by. Our choice, after
films of our own mouths on which marks had been moved by a millimetre."""

MOST_MISFIT = 0.8
"""A film whose marks fit worse in all is doubted whole: right ones had 0.2 to 0.5, and named one
tooth off 0.8 to 5. Our choice, after films of our own mouths."""

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

    Marks state here how far such marks were measured to lie off, not the wider spreads that are
    handed on: with those, teeth named one place off fit as well as right ones.
    """
    if len(marks.marks) < FEWEST_MARKS:
        return Unexplained(names=frozenset(), numbered_off=(), is_whole_film=True)
    of_view = view(marks.view)
    receptor = known.receptor(marks.receptor) if marks.receptor else None
    try:
        landmarks = landmarks_from_marks(
            marks, of_view, pixel_mm=marks.pixel_mm or 0.0, receptor=receptor
        )
        film = VisitFilm(
            taken=TakenFilm(marks=marks, view=of_view, receptor=receptor),
            landmarks=landmarks,
            receptor=receptor or nearest_receptor(known, landmarks),
        )
        found, _ = estimate_learned(
            [film], None, known.holder(USUAL_HOLDER), known.tube(TUBE), begin=unwatched
        )
    except BitewrightError:
        return Unexplained(names=frozenset(), numbered_off=(), is_whole_film=True)
    beside = found.left_out[0]
    slips = mark_slips(landmarks, beside)
    names = {name for name, off in beside.off_sd.items() if off > FAR_SD}
    for slip in (*slips.exchanged, *slips.wide):
        front, back = slip.contact.split("-")
        names |= {f"{front}.distal", f"{back}.mesial"}
    return Unexplained(
        names=frozenset(names),
        numbered_off=tuple(code for each in slips.misnumbered for code in each.codes),
        is_whole_film=found.misfit > MOST_MISFIT,
    )


__all__ = ["Unexplained", "unexplained"]

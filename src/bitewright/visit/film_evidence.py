"""What one marked film of a visit says of each surface and crest of its side."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from bitewright.equipment.receptors import Receptor
from bitewright.exposing.beam_cover import cut_landmarks
from bitewright.exposing.landmarks import Landmarks, Status
from bitewright.marking.cone_cut import cone_cut
from bitewright.marking.film_overlaps import FilmOverlaps, film_overlaps
from bitewright.marking.marked_landmarks import landmarks_from_marks, teeth_on_film, usual_scale
from bitewright.marking.marks import MarkedFilm
from bitewright.mouth.tooth_forms import tooth_form
from bitewright.quality.measure import Measurements, measure
from bitewright.quality.views import View
from bitewright.quality.wanted import Pair, edges, wanted
from bitewright.visit.sites import whole_side


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FilmOfVisit:
    """A marked film as a visit takes it. ``name`` is what it is called. [mm]"""

    name: str
    marks: MarkedFilm
    view: View
    pixel_mm: float
    receptor: Receptor | None = None


class Shown(StrEnum):
    """What became of a place on one film, before any overlap is looked at."""

    SEEN = "seen"
    COVERED = "covered"
    OFF = "off"
    NOT_MARKED = "not-marked"
    NOT_TAKEN = "not-taken"


@dataclass(frozen=True, slots=True, kw_only=True)
class SiteEvidence:
    """What one film says of one surface or crest.

    Parameters
    ----------
    shown : Shown
    overlap_mm : float
        At its contact, as measured; NaN where nothing overlaps it, or nobody can measure it. [mm]
    enamel_mm : float
        The thinner of the two adjoining enamels as usual; NaN where nothing adjoins. [mm]
    overlaps : FilmOverlaps or None
        How wide the film's contacts may overlap; None where nothing overlaps it.
    contact : int
        Which of these it lies at.
    """

    shown: Shown
    overlap_mm: float = float("nan")
    enamel_mm: float = float("nan")
    overlaps: FilmOverlaps | None = None
    contact: int = -1


def film_evidence(
    film: FilmOfVisit,
    absent: frozenset[int] = frozenset(),
    closed: frozenset[Pair] = frozenset(),
) -> dict[str, SiteEvidence]:
    """What a film says of each site of its side, by name.

    Parameters
    ----------
    film : FilmOfVisit
    absent : frozenset of int
        Teeth known to be missing, from any film of the visit.
    closed : frozenset of pairs
        Teeth that meet across missing ones, by any film of the visit (`closed_on_film`).

    Raises
    ------
    NothingMarkedError, ToothNotInViewError, WrongWayRoundError, UpsideDownError
    """
    landmarks = _landmarks(film)
    teeth = teeth_on_film(film.marks, film.view) - absent
    want = whole_side(film.view, teeth, closed)
    enamel = np.array([_usual_enamel_mm(pair) for pair in want.contacts])
    measured = measure(landmarks, usual_scale(want, enamel), want, block_mm=float("nan"))
    touch = [behind - ahead == 1 or (ahead, behind) in closed for ahead, behind in want.contacts]
    together = _together(measured, touch)
    at_contact = {
        name: (column, other)
        for column, pair in enumerate(want.contacts)
        for name, other in zip(edges(pair), reversed(edges(pair)), strict=True)
    }
    meant = frozenset(wanted(film.view, teeth, closed).names)
    found = {}
    for name in want.names:
        across = at_contact[name][1] if name in at_contact else None
        shown = _shown(measured, name, across, meant)
        if shown is not Shown.SEEN or name not in at_contact:
            found[name] = SiteEvidence(shown=shown)
            continue
        column, other = at_contact[name]
        found[name] = (
            _at_contact(measured, together, column, other, enamel[column])
            if touch[column]
            else SiteEvidence(shown=Shown.SEEN)
        )
    return found


def _landmarks(film: FilmOfVisit) -> Landmarks:
    landmarks = landmarks_from_marks(
        film.marks, film.view, pixel_mm=film.pixel_mm, receptor=film.receptor
    )
    cut = cone_cut(film.marks, pixel_mm=film.pixel_mm)
    return landmarks if cut is None or cut.edge is None else cut_landmarks(landmarks, cut.edge)


def _usual_enamel_mm(pair: tuple[int, int]) -> float:
    return min(tooth_form(code).enamel_contact_mm for code in pair)


def _shown(measured: Measurements, name: str, across: str | None, meant: frozenset[str]) -> Shown:
    """What became of a place; one that nobody marked may be there if its neighbour is seen."""
    status = Status(int(measured.gone[name][0]))
    if status is not Status.UNMARKED:
        return _BECAME[status]
    may_be_there = across in measured.gone and measured.gone[across][0] == Status.SEEN
    return Shown.NOT_MARKED if name in meant or may_be_there else Shown.NOT_TAKEN


_BECAME = {
    Status.SEEN: Shown.SEEN,
    Status.SHOWN: Shown.SEEN,
    Status.OUTSIDE: Shown.OFF,
    Status.CUT: Shown.COVERED,
    Status.HIDDEN: Shown.COVERED,
}


def _together(measured: Measurements, touch: Sequence[bool]) -> FilmOverlaps:
    """How wide the film's contacts may overlap; teeth across a gap tell nothing of the others."""
    overlap = np.where(np.array(touch, dtype=np.bool_), measured.overlap_mm[0], np.nan)
    return film_overlaps(overlap, measured.sd["overlap_mm"][0], measured.wanted.contacts)


def _at_contact(
    measured: Measurements, together: FilmOverlaps, column: int, other: str, enamel_mm: float
) -> SiteEvidence:
    """A surface that is seen, with its neighbour across the contact."""
    neighbour = Status(int(measured.gone[other][0]))
    overlap = float(measured.overlap_mm[0, column])
    may_overlap = SiteEvidence(
        shown=Shown.SEEN,
        overlap_mm=overlap,
        enamel_mm=float(enamel_mm),
        overlaps=together,
        contact=column,
    )
    if neighbour is Status.SEEN or np.isfinite(overlap):
        return may_overlap
    if neighbour in (Status.OUTSIDE, Status.CUT):
        # An edge that overlapped this surface would lie further inside the image than it.
        return SiteEvidence(shown=Shown.SEEN)
    if neighbour is Status.UNMARKED:
        return SiteEvidence(shown=Shown.NOT_MARKED)
    return may_overlap


__all__ = ["FilmOfVisit", "Shown", "SiteEvidence", "film_evidence"]

"""Set two marked films of the same teeth, taken apart in time, beside each other."""

from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np

from bitewright import __version__
from bitewright.equipment.catalogue import Catalogue
from bitewright.equipment.holders import Holder
from bitewright.equipment.tubes import Tube
from bitewright.errors import BitewrightError
from bitewright.explanation.correction import Estimated
from bitewright.exposing.landmarks import Status
from bitewright.files.marks_file import read_marks
from bitewright.marking.marked_landmarks import landmarks_from_marks
from bitewright.marking.marks import MarkedFilm
from bitewright.steps import Begin, unwatched
from bitewright.tasks.assess.estimate_visit import estimate_learned
from bitewright.tasks.assess.explain_film import FEWEST_MARKS
from bitewright.tasks.assess.taken_film import TakenFilm
from bitewright.tasks.assess.visit_films import (
    VisitFilm,
    closed_teeth_of_visit,
    nearest_receptor,
)
from bitewright.tasks.visit.read_visit import film_of_visit
from bitewright.visit.recall import (
    COMPARABLE_MM,
    Recall,
    RecallSite,
    recall,
    shared_sites,
    without_crests,
)
from bitewright.visit.sorted_films import is_same_image
from bitewright.words.landmarks import landmark_title
from bitewright.words.phrases import are, counted
from bitewright.words.recalls import NOT_SAID_WHOSE, RECALL_CAUTION, differs_words, recall_words

RECALL_FORMAT = "bitewright.recall/1"


class NotOneMouthError(BitewrightError):
    """Two films cannot be compared: they are of two patients, two sides, or one image."""

    def __init__(self, earlier: str, later: str, why: str, remedy: str) -> None:
        super().__init__(f"{earlier} and {later} cannot be compared, {why}: {remedy}.")


class FewMarksError(BitewrightError):
    """A film has too few marks for its exposure to be estimated."""

    def __init__(self, name: str, count: int) -> None:
        super().__init__(
            f"{name} has {counted(count, 'mark')} that {are(count)} seen; an exposure takes at "
            f"least {FEWEST_MARKS}: mark more of its landmarks."
        )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class RecallFilm:
    """One of the two films: what it is called, and its marks as an estimate takes them."""

    name: str
    film: VisitFilm

    @property
    def marks(self) -> MarkedFilm:
        """Its marks."""
        return self.film.taken.marks


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class RecallAnswer:
    """What is told of two films; the earlier comes first."""

    films: tuple[RecallFilm, RecallFilm]
    told: Recall

    @property
    def sentences(self) -> tuple[str, ...]:
        """Where the films are comparable, where not and why."""
        caveat = () if all(each.marks.patient for each in self.films) else (NOT_SAID_WHOSE,)
        return (*recall_words(self.told), *caveat)

    def document(self) -> dict[str, Any]:
        """As data for machines."""
        told = self.told
        return {
            "format": RECALL_FORMAT,
            "version": __version__,
            "earlier": _film_document(self.films[0]),
            "later": _film_document(self.films[1]),
            "sentences": list(self.sentences),
            "comparable_below_mm": COMPARABLE_MM,
            "comparable": all(site.is_comparable for site in told.sites),
            "sites": [_site_document(site) for site in told.sites],
            "stood": [
                {part.value: _amount(amount, "deg") for part, amount in each.items()}
                for each in told.stood
            ],
            "differs": [
                {"part": part.value, "words": differs_words(part, amount)} | _amount(amount, "deg")
                for part, amount in told.differs.items()
            ],
            "repeated": {
                name: round(getattr(told.repeated, name), 1)
                for name in type(told.repeated).__slots__
            },
            "repeated_sure": {
                part.value: _amount(amount, "deg") for part, amount in told.repeated_sure.items()
            },
            "caution": RECALL_CAUTION,
        }


def read_recall_film(path: Path, known: Catalogue) -> RecallFilm:
    """A marked film from its file; errors as `recall_film`, and if it cannot be read."""
    return recall_film(path.name, read_marks(path), known)


def recall_film(name: str, marks: MarkedFilm, known: Catalogue) -> RecallFilm:
    """A marked film as one of two.

    Raises
    ------
    FewMarksError
        If its exposure cannot be estimated.
    BitewrightError
        If its marks cannot be used.
    """
    of = film_of_visit(name, marks, known)
    landmarks = landmarks_from_marks(of.marks, of.view, pixel_mm=of.pixel_mm, receptor=of.receptor)
    seen = int(np.sum(landmarks.status[0] == Status.SEEN))
    if seen < FEWEST_MARKS:
        raise FewMarksError(name, seen)
    return RecallFilm(
        name=name,
        film=VisitFilm(
            taken=TakenFilm(marks=of.marks, view=of.view, receptor=of.receptor),
            landmarks=landmarks,
            receptor=of.receptor or nearest_receptor(known, landmarks),
        ),
    )


def compare_recall(
    earlier: RecallFilm,
    later: RecallFilm,
    *,
    holder: Holder,
    tube: Tube,
    seed: int = 0,
    begin: Begin = unwatched,
) -> RecallAnswer:
    """Both exposures estimated in one mouth, and what they alone do to each crest.

    Raises
    ------
    NotOneMouthError
        If the films are of two patients, two sides or other teeth, or one film given twice, or the
        later was taken first.
    StoppedError
        If `begin` stopped it.
    """
    _check(earlier, later)
    taught = replace(later.film, landmarks=without_crests(later.film.landmarks))
    films = [earlier.film, taught]
    closed = closed_teeth_of_visit(films)
    found, _ = estimate_learned(films, None, holder, tube, begin=begin, closed=closed)
    told = recall(found, later.film.landmarks, np.random.default_rng(seed))
    return RecallAnswer(films=(earlier, later), told=told)


def _check(earlier: RecallFilm, later: RecallFilm) -> None:
    one, other = earlier.marks, later.marks

    def refused(why: str, remedy: str) -> NotOneMouthError:
        return NotOneMouthError(earlier.name, later.name, why, remedy)

    if is_same_image(one, other):
        raise refused("they are the same film", "give an earlier and a later one")
    if one.patient and other.patient and one.patient != other.patient:
        raise refused(
            f"the one is of {one.patient}, the other of {other.patient}",
            "give two films of one patient",
        )
    if one.taken_on and other.taken_on and one.taken_on > other.taken_on:
        raise refused(
            f"the first is of {one.taken_on}, the second of {other.taken_on}",
            "give the earlier one first",
        )
    sides = [each.film.view.region.side for each in (earlier, later)]
    if sides[0] is not sides[1]:
        raise refused(
            f"they show the {sides[0].value} and the {sides[1].value} side",
            "give two films of one side",
        )
    if not shared_sites(earlier.film.landmarks, later.film.landmarks):
        raise refused(
            "no surface has its cemento-enamel junction and its bone crest marked on both",
            "mark both of one surface on both films, or give films of the same teeth",
        )


def _film_document(of: RecallFilm) -> dict[str, Any]:
    return {
        "film": of.name,
        "view": of.film.view.name,
        "receptor": of.film.receptor.name,
        "taken_on": of.marks.taken_on,
    }


def _site_document(site: RecallSite) -> dict[str, Any]:
    return {
        "site": site.name,
        "title": landmark_title(site.name),
        "comparable": site.is_comparable,
        "by_angulation": _amount(site.by_angulation, "mm"),
        "earlier_mm": round(site.earlier_mm, 2),
        "later_mm": round(site.later_mm, 2),
        "measured": _amount(site.measured, "mm"),
        "mostly_by": site.mostly_by.value,
    }


def _amount(amount: Estimated, unit: str) -> dict[str, float]:
    places = 2 if unit == "mm" else 1
    return {
        f"{name}_{unit}": round(getattr(amount, name), places) for name in ("value", "low", "high")
    }


__all__ = [
    "RECALL_FORMAT",
    "FewMarksError",
    "NotOneMouthError",
    "RecallAnswer",
    "RecallFilm",
    "compare_recall",
    "read_recall_film",
    "recall_film",
]

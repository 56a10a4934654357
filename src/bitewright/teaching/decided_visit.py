"""A visit of two films of one side or four of both: what they leave unread, and what could win it.

A fault is planted in one film, or as a habit of the hand in both of a side or in all. What is
unread is found twice: by the visit's ledger, from marks with usual enamel; and by what the
exposures themselves measure. Both must say the same, without doubt, or there is no exercise.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Protocol

import numpy as np

from bitewright.exposing.exposure import (
    CannotOpenError,
    Exposures,
    ReceptorTooLargeError,
    Station,
)
from bitewright.exposing.hand_settings import SettingValueError
from bitewright.exposing.landmarks import Landmarks, Status
from bitewright.exposing.project import project
from bitewright.exposing.scale import Scale
from bitewright.marking.marks import MarkedFilm
from bitewright.marking.simulated_marker import true_marks
from bitewright.planning.best_aim import Plan
from bitewright.quality.criteria import Question
from bitewright.quality.measure import measure
from bitewright.quality.predicted import Asked, asked
from bitewright.quality.questions import unreadable_share
from bitewright.quality.views import View
from bitewright.quality.wanted import edges
from bitewright.teaching.fault_names import PlantedFault
from bitewright.teaching.found_faults import MARK_PIXEL_MM
from bitewright.teaching.planted import PLANTINGS, planted_slip
from bitewright.teaching.slips import HandSlip
from bitewright.teaching.spoilt_film import SpoiltFilm, spoilt_film
from bitewright.visit.film_evidence import FilmOfVisit
from bitewright.visit.gate import Stated, gate
from bitewright.visit.ledger import Ledger, Reading, ledger
from bitewright.visit.sites import whole_side

NO_FILM, BOTH_FILMS, ALL_FILMS = "none", "both", "all"
WHOLE_ROW = ((3, 4), (4, 5), (5, 6), (6, 7))
"""What is marked of a side: every contact, not only what the film's view is for."""

ONE_FILM = 0.5
"""How often the fault is in one film alone. Our choice."""

ONE_SIDE = 2
"""Films of one side in a visit: of the premolar view and of the molar view."""

STATED = Stated(purpose="stated", cause="stated", change="stated")
"""As if a person had stated all: what is asked is what the films leave open."""


class Marker(Protocol):
    """Who marks a film, as `true_marks` does."""

    def __call__(  # noqa: D102  as the class says
        self,
        landmarks: Landmarks,
        view: View,
        *,
        pixel_mm: float,
        image_name: str,
        receptor: str,
    ) -> MarkedFilm: ...


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class AskedVisit:
    """What a visit is drawn from.

    Parameters
    ----------
    plans : tuple of Plan
        The best exposures of the premolar and the molar view of one side of one mouth, or of one
        side and then of the other.
    leaves_unread : bool
        Whether a further film is to be justifiable.
    """

    plans: tuple[Plan, ...]
    leaves_unread: bool


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class DecidedVisit:
    """Two films or four, and what they come to.

    Parameters
    ----------
    films : tuple of SpoiltFilm
        As the plans of `AskedVisit`.
    spoilt : tuple of int
        Which of them have the fault planted.
    unread : tuple of str
        Surfaces that are needed and that no film shows.
    won_by : tuple of str
        Views whose further film could show all of them; empty where nothing is unread.
    shown_elsewhere : tuple of tuples of str
        By film: surfaces that are needed, that its best film shows and it does not, and that the
        other film of its side shows.
    """

    films: tuple[SpoiltFilm, ...]
    spoilt: tuple[int, ...]
    unread: tuple[str, ...]
    won_by: tuple[str, ...]
    shown_elsewhere: tuple[tuple[str, ...], ...]

    @property
    def choices(self) -> tuple[str, ...]:
        """What can be decided."""
        every = BOTH_FILMS if len(self.films) == ONE_SIDE else ALL_FILMS
        return (NO_FILM, *(film.plan.view.name for film in self.films), every)

    @property
    def key(self) -> tuple[int, ...]:
        """Which of the choices are right."""
        return tuple(self.choices.index(name) for name in self.won_by or (NO_FILM,))

    def beside(self, number: int) -> SpoiltFilm:
        """The other film of a film's side."""
        return self.films[number ^ 1]


def drawn_visit(
    plans: Sequence[Plan], generator: np.random.Generator, faults: Sequence[PlantedFault]
) -> DecidedVisit | None:
    """A visit with one fault planted, None where what was drawn leaves a doubt.

    Parameters
    ----------
    plans : sequence of Plan
        As `AskedVisit` has them.
    generator : numpy Generator
    faults : sequence of PlantedFault
    """
    spoilt = _spoilt(len(plans), generator)
    aimed = [each for each in faults if each in PLANTINGS]
    if not aimed:
        return None
    fault = aimed[int(generator.integers(len(aimed)))]
    slip = planted_slip(fault, generator)
    try:
        films = tuple(
            spoilt_film(plan, fault, slip if k in spoilt else HandSlip())
            for k, plan in enumerate(plans)
        )
    except (ReceptorTooLargeError, CannotOpenError, SettingValueError):
        return None
    of = visit_ledger(films)
    offered = gate(of, STATED)
    unread = tuple(row.name for row in of.unread)
    if offered.doubtful or of.needed(Reading.NOT_MARKED) or set(unread) != _unread_truly(films, of):
        return None
    won_by = tuple(each.name for each in offered.views if set(unread) <= _names_of(films, each))
    elsewhere = tuple(
        _of_whole_contacts(
            films, [row.name for row in of.needed() if row.name in lost - set(unread)]
        )
        for lost in map(_lost, films)
    )
    if (
        unread != _of_whole_contacts(films, unread)
        or (unread and not won_by)
        or not (unread or any(elsewhere))
    ):
        return None
    return DecidedVisit(
        films=films, spoilt=spoilt, unread=unread, won_by=won_by, shown_elsewhere=elsewhere
    )


def _spoilt(count: int, generator: np.random.Generator) -> tuple[int, ...]:
    """Which of so many films get the fault: one, both of a side or all."""
    one = int(generator.integers(count))
    if generator.random() < ONE_FILM:
        return (one,)
    first = one - one % ONE_SIDE
    if generator.random() < ONE_FILM:
        return tuple(range(first, first + ONE_SIDE))
    return tuple(range(count))


def _of_whole_contacts(films: Sequence[SpoiltFilm], names: Sequence[str]) -> tuple[str, ...]:
    """Those surfaces whose neighbour across the contact is named too: half a contact is a doubt."""
    pairs = {pair for film in films for pair in film.prediction.measurements.wanted.contacts}
    whole = {name for pair in pairs if set(edges(pair)) <= set(names) for name in edges(pair)}
    return tuple(name for name in names if name in whole)


def visit_ledger(films: Sequence[SpoiltFilm], *, marked_by: Marker = true_marks) -> Ledger:
    """The ledger of films of one side or both, everything marked that they show of it."""
    sides = tuple(dict.fromkeys(film.plan.view.region.side for film in films))
    return ledger([_marked(film, marked_by) for film in films], sides=sides)


def _marked(film: SpoiltFilm, marked_by: Marker) -> FilmOfVisit:
    plan = film.plan
    at = plan.station
    landmarks, _ = project(film.exposure, _whole_row(plan).targets)
    marks = marked_by(
        landmarks,
        replace(plan.view, contacts=WHOLE_ROW),
        pixel_mm=MARK_PIXEL_MM,
        image_name=plan.view.name,
        receptor=at.receptor.name,
    )
    return FilmOfVisit(
        name=plan.view.name,
        marks=replace(marks, absent_teeth=missing_teeth(at)),
        view=plan.view,
        pixel_mm=MARK_PIXEL_MM,
        receptor=at.receptor,
    )


def missing_teeth(at: Station) -> tuple[int, ...]:
    """Teeth of a film's side, but third molars, that its mouth lacks: whoever marks it says so."""
    usual = {10 * quadrant + place for quadrant in at.region.quadrants for place in range(1, 8)}
    return tuple(sorted(usual - set(at.outlines.codes)))


def _whole_row(plan: Plan) -> Asked:
    return asked(plan.view, plan.station, every_contact=True)


def _unread_truly(films: Sequence[SpoiltFilm], of: Ledger) -> set[str]:
    """Needed surfaces that no film shows, by the exposures' own measurements."""
    needed = {row.name for row in of.needed()}
    return needed - set[str]().union(*(_shown(film.plan, film.exposure) for film in films))


def _shown(plan: Plan, exposure: Exposures) -> set[str]:
    """Surfaces of a film's side that can be read on it: seen, with too little over them to matter.

    By this mouth's own enamel and scale, where the ledger takes usual ones.
    """
    of = _whole_row(plan)
    landmarks, scale = project(exposure, of.targets)
    sites = [site.pair for site in of.targets.sites]
    every = whole_side(plan.view, plan.station.outlines.codes)
    want = replace(every, contacts=tuple(pair for pair in every.contacts if pair in sites))
    columns = [sites.index(pair) for pair in want.contacts]
    own = Scale(
        magnification=scale.magnification[:, columns],
        cos_obliquity=scale.cos_obliquity[:, columns],
        enamel_mm=scale.enamel_mm[columns],
    )
    share = measure(landmarks, own, want, block_mm=float("nan")).enamel_share[0]
    most = unreadable_share(Question.ENAMEL)
    return {
        name
        for pair, over in zip(want.contacts, share, strict=True)
        for name in edges(pair)
        if int(landmarks.status_of(name)[0]) == Status.SEEN and not over > most
    }


def _lost(film: SpoiltFilm) -> set[str]:
    """Surfaces that the best film of the view shows and this one does not."""
    return _shown(film.plan, film.plan.exposure) - _shown(film.plan, film.exposure)


def _names_of(films: Sequence[SpoiltFilm], of_view: View) -> set[str]:
    """Surfaces that a view is for, in the visit's mouth."""
    film = next((each for each in films if each.plan.view.name == of_view.name), None)
    if film is None:
        return set()
    contacts = film.prediction.measurements.wanted.contacts
    return {name for pair in contacts for name in edges(pair)}


__all__ = [
    "ALL_FILMS",
    "BOTH_FILMS",
    "NO_FILM",
    "ONE_SIDE",
    "AskedVisit",
    "DecidedVisit",
    "Marker",
    "drawn_visit",
    "missing_teeth",
    "visit_ledger",
]

"""An exercise drawn from a plan and a generator, its truth found a second way before it is used.

What was planted must be what the film's marks say, worked out from the marks back
(`found_faults`); and it must be plainly seen (`SpoiltFilm.sign`). Else there is no exercise.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from bitewright.exposing.exposure import CannotOpenError, ReceptorTooLargeError
from bitewright.exposing.hand_settings import SettingValueError
from bitewright.log.checklists import Checklists, packaged_checklists
from bitewright.marking.assess import assess
from bitewright.marking.simulated_marker import true_marks
from bitewright.planning.best_aim import Plan
from bitewright.quality.findings import pair_name
from bitewright.quality.questions import is_canines_contact
from bitewright.quality.rating import ContactState
from bitewright.teaching.aiming import BEGUN_OFF, drawn_beginning
from bitewright.teaching.correcting import contacts_won
from bitewright.teaching.decided_visit import (
    AskedVisit,
    DecidedVisit,
    drawn_visit,
    missing_teeth,
)
from bitewright.teaching.fault_names import PlantedFault
from bitewright.teaching.found_faults import MARK_PIXEL_MM, found_faults, is_clearly
from bitewright.teaching.handled import HANDLED, handled, look_for
from bitewright.teaching.item import ItemKind
from bitewright.teaching.offered_names import offered_names
from bitewright.teaching.planted import CONE_CUTS, accepted, cause_of, planted_slip
from bitewright.teaching.reading import FilmReading, ReadQuestion, reading_of
from bitewright.teaching.spoilt_film import SpoiltFilm, mishandled_film, spoilt_film

LEAST_GAIN = 1.5
"""Contacts that a right correction wins at least, as `contacts_won` counts. Our choice."""

CORRECTED = (
    PlantedFault.TUBE_TOO_FAR_FORWARD,
    PlantedFault.TUBE_TOO_FAR_BACK,
    PlantedFault.RECEPTOR_TOO_FAR_FORWARD,
    PlantedFault.RECEPTOR_TOO_FAR_BACK,
)
"""What can be mended on a drawing from above."""

OF_HANDLING = (ItemKind.NAME, ItemKind.ORDER)
"""Kinds that ask about what was done with a receptor, too."""

NOTHING_UNREAD = "none"

FEWEST_STEPS = 3
"""An order of fewer is no exercise. Our choice."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Exercise:
    """An exercise in numbers and names; words are made of it elsewhere.

    Parameters
    ----------
    kind : ItemKind
    film : SpoiltFilm
        For `ItemKind.AIM` that of the set-up from which a person begins.
    choices : tuple of str
        By kind: faults; a `FilmReading`'s; contacts; what to look at. Empty for a movement.
    key : tuple of int
        As `Item` has it.
    reading : FilmReading or None
    source : str
        Where an order is from.
    visit : DecidedVisit or None
        The films of a visit; ``film`` is the spoilt one of them.
    """

    kind: ItemKind
    film: SpoiltFilm
    choices: tuple[str, ...] = ()
    key: tuple[int, ...] = ()
    reading: FilmReading | None = None
    source: str = ""
    visit: DecidedVisit | None = None

    @property
    def topic(self) -> str:
        """What it is about: what is read on a film, else the fault."""
        return self.film.fault.value if self.reading is None else self.reading.asks.value


def drawn_exercise(
    kind: ItemKind,
    plan: Plan,
    generator: np.random.Generator,
    *,
    faults: Sequence[PlantedFault] = tuple(PlantedFault),
    asks: ReadQuestion = ReadQuestion.OVERLAP,
    checklists: Checklists | None = None,
    visit: AskedVisit | None = None,
) -> Exercise | None:
    """An exercise of a kind, None where what was drawn makes none.

    Parameters
    ----------
    kind : ItemKind
    plan : Plan
        The best exposure, whose film the fault spoils.
    generator : numpy Generator
    faults : sequence of PlantedFault
        What may be planted.
    asks : ReadQuestion
        What `ItemKind.READ` asks.
    checklists : mapping of str to Checklist, optional
        What `ItemKind.ORDER` puts in order; those that come along if left out.
    visit : AskedVisit or None
        What `ItemKind.DECIDE` asks of; None asks of one film.
    """
    if kind is ItemKind.AIM:
        return _aim(plan, generator, faults)
    if kind is ItemKind.DECIDE and visit is not None:
        return _decide_visit(visit, generator, faults)
    film = _film_with_fault(kind, plan, generator, faults)
    if film is None:
        return None
    if kind is ItemKind.READ:
        return _read(film, asks, generator)
    if kind is ItemKind.DECIDE:
        return _decide(film, generator)
    return _about_fault(kind, film, generator, checklists or packaged_checklists())


def _aim(
    plan: Plan, generator: np.random.Generator, faults: Sequence[PlantedFault]
) -> Exercise | None:
    begun = drawn_beginning(plan, generator, faults)
    return None if begun is None else Exercise(kind=ItemKind.AIM, film=begun)


def _film_with_fault(
    kind: ItemKind, plan: Plan, generator: np.random.Generator, faults: Sequence[PlantedFault]
) -> SpoiltFilm | None:
    """The film of a plan with one of some faults in it; None where nobody could expose it so."""
    allowed = [each for each in faults if _can_plant(kind, each)]
    if not allowed:
        return None
    fault = allowed[int(generator.integers(len(allowed)))]
    if fault in HANDLED:
        return mishandled_film(plan, fault, handled(fault, generator))
    try:
        return spoilt_film(plan, fault, planted_slip(fault, generator))
    except (ReceptorTooLargeError, CannotOpenError, SettingValueError):
        return None


def _can_plant(kind: ItemKind, fault: PlantedFault) -> bool:
    if kind is ItemKind.CORRECT:
        return fault in CORRECTED
    return kind in OF_HANDLING or fault not in HANDLED


def askable_faults(kind: ItemKind, checklists: Checklists) -> tuple[PlantedFault, ...]:
    """Faults of which an exercise of a kind can be made at all."""
    if kind is ItemKind.AIM:
        return BEGUN_OFF
    found = [fault for fault in PlantedFault if _can_plant(kind, fault)]
    if kind is ItemKind.READ:
        found = [fault for fault in found if fault not in CONE_CUTS]
    if kind is ItemKind.ORDER:
        found = [f for f in found if len(checklists[look_for(f)].looks) >= FEWEST_STEPS]
    return tuple(found)


def _about_fault(
    kind: ItemKind, film: SpoiltFilm, generator: np.random.Generator, checklists: Checklists
) -> Exercise | None:
    """An exercise whose truth is the fault itself."""
    if film.sign < 1.0:
        return None
    can_win = contacts_won(film.plan.prediction) - contacts_won(film.prediction)
    if kind is ItemKind.CORRECT and can_win < LEAST_GAIN:
        return None
    if not is_found(film):
        return None
    if kind is ItemKind.NAME:
        return _name(film, generator)
    if kind is ItemKind.ORDER:
        return _order(film, generator, checklists)
    return Exercise(kind=kind, film=film)


def is_found(film: SpoiltFilm) -> bool:
    """Whether the film's marks, worked back, say clearly what was planted."""
    if film.handled is not None:
        # Marks lie where they would: what was done to the film shows in its picture.
        return True
    causes = found_faults(film.prediction.landmarks, film.plan)
    cause = cause_of(film.fault)
    if cause is None:
        # A cone cut leaves the marks it does not cover where they are.
        return causes[0].weight < 1.0
    return is_clearly(causes, cause)


def _name(film: SpoiltFilm, generator: np.random.Generator) -> Exercise:
    right = accepted(film.fault)
    choices = offered_names(film.fault, generator)
    return Exercise(
        kind=ItemKind.NAME,
        film=film,
        choices=tuple(each.value for each in choices),
        key=tuple(k for k, each in enumerate(choices) if each in right),
    )


def _read(film: SpoiltFilm, asks: ReadQuestion, generator: np.random.Generator) -> Exercise | None:
    if film.fault in CONE_CUTS:
        return None
    reading = reading_of(film.prediction, asks, generator)
    if reading is None:
        return None
    return Exercise(
        kind=ItemKind.READ,
        film=film,
        choices=reading.choices,
        key=(reading.right,),
        reading=reading,
    )


def unread_contacts(film: SpoiltFilm) -> tuple[str, ...]:
    """Contacts that a film is decided by and that cannot be read, by its own measurement."""
    states = film.prediction.rating.states[0]
    return _unread(film.prediction.measurements.wanted.contacts, states)


def decided_contacts(film: SpoiltFilm) -> tuple[str, ...]:
    """Contacts that a film is decided by: those of its view but the canine's, as in a visit.

    Of a canine and a tooth that meet across a missing one the latter's surface counts.
    """
    pairs = film.prediction.measurements.wanted.contacts
    return tuple(pair_name(pair) for pair in pairs if not is_canines_contact(pair))


def unread_by_marks(film: SpoiltFilm) -> tuple[str, ...]:
    """The same as a person would measure it: from marks, with usual enamel and scale."""
    marks = true_marks(
        film.prediction.landmarks,
        film.plan.view,
        pixel_mm=MARK_PIXEL_MM,
        image_name="film",
        receptor=film.plan.station.receptor.name,
    )
    marks = replace(marks, absent_teeth=missing_teeth(film.plan.station))
    made = assess(
        marks, film.plan.view, pixel_mm=MARK_PIXEL_MM, receptor=film.plan.station.receptor
    )
    return _unread(made.wanted.contacts, made.rating.states[0])


def _unread(contacts: Sequence[tuple[int, int]], states: Sequence[int]) -> tuple[str, ...]:
    gone = (ContactState.UNREADABLE, ContactState.NOT_SHOWN)
    return tuple(
        pair_name(pair)
        for pair, state in zip(contacts, states, strict=True)
        if state in gone and not is_canines_contact(pair)
    )


def _decide(film: SpoiltFilm, generator: np.random.Generator) -> Exercise | None:
    """Which contact, if any, is left unread; both ways of measuring must say the same."""
    unread = unread_contacts(film)
    if len(unread) > 1 or unread != unread_by_marks(film):
        return None
    others = [name for name in decided_contacts(film) if name not in unread]
    wanted = 4 - len(unread)
    picked = [others[k] for k in generator.permutation(len(others))[: wanted - 1]]
    contacts = sorted([*unread, *picked])
    choices = (NOTHING_UNREAD, *contacts)
    return Exercise(
        kind=ItemKind.DECIDE,
        film=film,
        choices=choices,
        key=(choices.index(unread[0]) if unread else 0,),
    )


def _decide_visit(
    asked: AskedVisit, generator: np.random.Generator, faults: Sequence[PlantedFault]
) -> Exercise | None:
    """Which film of a visit could still be justified, if any."""
    found = drawn_visit(asked.plans, generator, faults)
    if found is None or bool(found.unread) is not asked.leaves_unread:
        return None
    return Exercise(
        kind=ItemKind.DECIDE,
        film=found.films[found.spoilt[0]],
        choices=found.choices,
        key=found.key,
        visit=found,
    )


def _order(
    film: SpoiltFilm, generator: np.random.Generator, checklists: Checklists
) -> Exercise | None:
    checklist = checklists[look_for(film.fault)]
    looks = checklist.looks
    if len(looks) < FEWEST_STEPS:
        return None
    order = [int(k) for k in generator.permutation(len(looks))]
    return Exercise(
        kind=ItemKind.ORDER,
        film=film,
        choices=tuple(looks[k] for k in order),
        key=tuple(order.index(k) for k in range(len(looks))),
        source=checklist.source,
    )


__all__ = [
    "CORRECTED",
    "NOTHING_UNREAD",
    "Exercise",
    "askable_faults",
    "decided_contacts",
    "drawn_exercise",
    "is_found",
    "unread_by_marks",
    "unread_contacts",
]

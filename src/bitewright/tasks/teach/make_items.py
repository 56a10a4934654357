"""Exercises made: drawn by a seed, checked, filmed and put into words."""

import hashlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from bitewright.errors import BitewrightError
from bitewright.report.exercise_film import exercise_film
from bitewright.steps import Begin, unwatched
from bitewright.tasks.catalogue.own_checklists import known_checklists
from bitewright.tasks.teach.exercise_places import (
    PIXEL_MM,
    ExercisePlace,
    PlaceName,
    exercise_place,
)
from bitewright.tasks.teach.own_exercises import own_exercise
from bitewright.tasks.teach.visit_pictures import asked_visit, visit_pictures
from bitewright.teaching.exercises import Exercise, askable_faults, drawn_exercise
from bitewright.teaching.fault_names import PlantedFault
from bitewright.teaching.item import Item, ItemKind
from bitewright.teaching.planted import accepted
from bitewright.teaching.reading import ReadQuestion
from bitewright.words.exercises import choice_words, explanation_words, item_question

USUAL_KINDS = (
    ItemKind.NAME,
    ItemKind.READ,
    ItemKind.CORRECT,
    ItemKind.NAME,
    ItemKind.DECIDE,
    ItemKind.ORDER,
)
"""Kinds in a set, in turn, where nobody chooses."""

READ_IN_TURN = (
    ReadQuestion.OVERLAP,
    ReadQuestion.SURFACE,
    ReadQuestion.OVERLAP,
    ReadQuestion.FRONT,
)
VIEWS = ("right-premolar", "left-molar", "left-premolar", "right-molar")
"""In turn; the first is the bench's, whose mouth is built for films when the server starts."""

MOST_TRIES = 80
VISIT_TRIES = 60
"""So many of them look for a visit to decide on; the others for one film. Our choice."""

MOST_ITEMS = 60
MOUTHS_DRAWN = 8
"""Mouths of the population by number up to this, so that films' mouths are found again."""

ITEMS_A_PLACE = 4
"""Exercises in one mouth and view before the next: a mouth for films takes long to build."""


class NoExerciseError(BitewrightError):
    """No exercise of a kind comes of what was asked for."""

    status_code = 422

    def __init__(self, kind: ItemKind, faults: Sequence[PlantedFault]) -> None:
        self.kind = kind
        named = ", ".join(faults)
        super().__init__(
            f"No exercise of the kind {kind.value!r} came of the faults {named} in {MOST_TRIES} "
            "tries: allow other faults or another kind."
        )


class KindNeedsOtherFaultsError(BitewrightError):
    """A kind of exercise was asked for with faults of which none can be made."""

    status_code = 422

    def __init__(self, kind: ItemKind, askable: Sequence[PlantedFault]) -> None:
        self.kind = kind
        other = f", or allow another fault, such as {askable[0]}" if askable else ""
        super().__init__(
            f"No exercise of the kind {kind.value!r} can be made of the faults that were chosen: "
            f"leave this kind out{other}."
        )


class ItemCountError(BitewrightError):
    """More exercises than a set holds, or none."""

    status_code = 422

    def __init__(self, given: int) -> None:
        super().__init__(
            f"A set of {given} exercises was asked for: give a number from 1 to {MOST_ITEMS}."
        )


class TooManyOwnError(BitewrightError):
    """More films of one's own were chosen than the set has exercises."""

    status_code = 422

    def __init__(self, own: int, count: int) -> None:
        super().__init__(
            f"{own} films of your own were chosen for a set of {count}: choose fewer, or more "
            "exercises."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class SetRequest:
    """What a set is made of; the same request gives the same set.

    ``mouths`` by name, in turn; without them the standard one and some of the population. ``own``:
    names of exercises with films of one's own; they come first and count.

    Raises
    ------
    ItemCountError, TooManyOwnError, KindNeedsOtherFaultsError
    """

    count: int = 12
    seed: int = 1
    kinds: tuple[ItemKind, ...] = USUAL_KINDS
    faults: tuple[PlantedFault, ...] = tuple(PlantedFault)
    mouths: tuple[str, ...] = ()
    views: tuple[str, ...] = VIEWS
    own: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if not 1 <= self.count <= MOST_ITEMS:
            raise ItemCountError(self.count)
        if len(self.own) > self.count:
            raise TooManyOwnError(len(self.own), self.count)
        checklists = known_checklists()
        for kind in self.asked_kinds:
            askable = askable_faults(kind, checklists)
            if not set(askable) & set(self.faults):
                raise KindNeedsOtherFaultsError(kind, askable)

    @property
    def asked_kinds(self) -> tuple[ItemKind, ...]:
        """The kinds that its exercises come to, each once; films of one's own ask for none."""
        numbers = range(len(self.own), self.count)
        return tuple(dict.fromkeys(self.kinds[number % len(self.kinds)] for number in numbers))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class OwnItem:
    """An item with a film of one's own: what is right is the teacher's reading."""

    item: Item
    number: int
    best_png: bytes = b""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class MadeItem:
    """An item with the truth behind it, which stays with the teacher.

    ``best_png``: the film as it would have been.
    """

    item: Item
    exercise: Exercise
    place: PlaceName
    number: int
    best_png: bytes


SetItem = MadeItem | OwnItem


def places_of(request: SetRequest) -> tuple[PlaceName, ...]:
    """Where a set's exercises play, one name an exercise; nobody aims in one place twice."""
    generator = np.random.default_rng([request.seed, 1])
    drawn = 1 + generator.permutation(MOUTHS_DRAWN)
    mouths = request.mouths or ("standard", *(f"population-{number}" for number in drawn))
    each = ITEMS_A_PLACE
    if ItemKind.AIM in request.kinds:
        each = min(each, len(request.kinds))
    views, needed = request.views, -(-request.count // each)
    names = [PlaceName(mouths[k % len(mouths)], views[k % len(views)]) for k in range(needed)]
    return tuple(names[k // each] for k in range(request.count))


def made_items(request: SetRequest, *, begin: Begin = unwatched) -> Iterator[SetItem]:
    """Every exercise of a set, one after the other.

    Raises
    ------
    NoExerciseError, NoOwnExerciseError
    StoppedError
        If `begin` stopped it.
    """
    used: set[tuple[PlaceName, ItemKind, PlantedFault]] = set()
    own = [own_exercise(name).item() for name in request.own]
    yield from (OwnItem(item=item, number=number) for number, item in enumerate(own))
    for number, name in list(enumerate(places_of(request)))[len(own) :]:
        begin(f"exercise {number + 1}")
        kind = request.kinds[number % len(request.kinds)]
        fresh = [each for each in request.faults if (name, kind, each) not in used]
        made = _made_item(request, number, exercise_place(name), fresh or request.faults, begin)
        used |= {(name, kind, each) for each in accepted(made.exercise.film.fault)}
        yield made


def _made_item(
    request: SetRequest,
    number: int,
    place: ExercisePlace,
    faults: Sequence[PlantedFault],
    begin: Begin,
) -> MadeItem:
    """One exercise; none of those in its mouth and view so far planted these faults."""
    found = drawn_for(request, number, place, faults)
    if found is None:
        found = drawn_for(request, number, place, request.faults)
    if found is None:
        raise NoExerciseError(request.kinds[number % len(request.kinds)], request.faults)
    exercise, seed = found
    film = exercise.film
    png, best_png = film_pictures(exercise, place, seed=seed, begin=begin)
    question = item_question(exercise)
    shown = png or best_png + repr(film.slip).encode()
    item = Item(
        id=hashlib.sha256(shown + question.encode()).hexdigest()[:12],
        kind=exercise.kind,
        topic=exercise.topic,
        question=question,
        choices=choice_words(exercise),
        key=exercise.key,
        explanation=explanation_words(exercise),
        film_png=png,
    )
    return MadeItem(
        item=item,
        exercise=exercise,
        place=PlaceName(place.name.mouth, film.plan.view.name),
        number=number,
        best_png=best_png,
    )


def film_pictures(
    exercise: Exercise, place: ExercisePlace, *, seed: int, begin: Begin = unwatched
) -> tuple[bytes, bytes]:
    """What is looked at, and the same as it would have been; nothing to look at where it is hidden.

    ``seed``: of the films' noise.
    """
    film = exercise.film
    if exercise.visit is not None:
        return visit_pictures(exercise.visit, place.name.mouth, seed=seed, begin=begin)
    if exercise.kind is ItemKind.AIM:
        return b"", place.best_png
    places_mm = exercise.reading.places_mm if exercise.reading else {}
    spoilt = place.film(film.exposure, seed=seed, handled=film.handled, begin=begin)
    is_film = film.handled is not None and film.handled.on_film
    best_png = place.best_film_png if is_film else place.best_png
    return exercise_film(spoilt.pixels, pixel_mm=PIXEL_MM, places_mm=places_mm), best_png


def drawn_for(
    request: SetRequest, number: int, place: ExercisePlace, faults: Sequence[PlantedFault]
) -> tuple[Exercise, int] | None:
    """The first exercise that is one, and its film's seed; the ambiguous are thrown away."""
    kind = request.kinds[number % len(request.kinds)]
    asks = READ_IN_TURN[number // len(request.kinds) % len(READ_IN_TURN)]
    checklists = known_checklists()
    for tried in range(MOST_TRIES):
        generator = np.random.default_rng([request.seed, 2, number, tried])
        visit = None
        if kind is ItemKind.DECIDE and tried < VISIT_TRIES:
            visit = asked_visit(place, request.seed, number)
        exercise = drawn_exercise(
            kind,
            place.plan,
            generator,
            faults=faults,
            asks=asks,
            checklists=checklists,
            visit=visit,
        )
        if exercise is not None:
            return exercise, int(generator.integers(2**31))
    return None


__all__ = [
    "MOST_ITEMS",
    "USUAL_KINDS",
    "VIEWS",
    "ItemCountError",
    "KindNeedsOtherFaultsError",
    "MadeItem",
    "NoExerciseError",
    "OwnItem",
    "SetItem",
    "SetRequest",
    "TooManyOwnError",
    "drawn_for",
    "made_items",
    "places_of",
]

"""Sets given out on a server: made ahead, one exercise after another; answers kept by person.

What tells the truth of an exercise leaves here only for who has committed an answer to it.
"""

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import UTC, datetime
from secrets import token_urlsafe
from threading import Condition, Lock, Thread
from time import monotonic
from typing import TYPE_CHECKING, Any

from bitewright.errors import BitewrightError
from bitewright.report.exercise_film import exercise_film
from bitewright.steps import StoppedError
from bitewright.tasks.long_work import LongWork
from bitewright.tasks.teach.aim_exposures import (
    NoMoreExposuresError,
    beginning_document,
    exposed_film,
    exposed_setting,
    exposed_words,
    set_up_document,
)
from bitewright.tasks.teach.answers import (
    ItemAnswer,
    answer_score,
    item_answer,
    neutral_document,
    told_after,
)
from bitewright.tasks.teach.exercise_places import PIXEL_MM, exercise_place
from bitewright.tasks.teach.make_items import MadeItem, SetItem, SetRequest, made_items
from bitewright.teaching.aiming import MOST_EXPOSURES
from bitewright.teaching.item import Item, ItemKind
from bitewright.teaching.slips import slipped_exposure
from bitewright.words.given_sets import being_made_words, kept_answer_words
from bitewright.words.skills import KIND_TITLES

if TYPE_CHECKING:
    from bitewright.tasks.plan.set_exposure import HandSetting

Keeper = Callable[[Item, ItemAnswer, float], object]
"""Keeps an answer with its score under the code that was given."""

MOST_SETS = 12
"""Sets kept at a time; the oldest goes first. Our choice."""


class NoSuchExerciseError(BitewrightError):
    """A set or an exercise was asked for that there is not."""

    status_code = 404

    def __init__(self) -> None:
        super().__init__(
            "There is no such exercise here any more: go back to Teach and choose a set."
        )


class NotCommittedError(BitewrightError):
    """The truth was asked for before an answer was committed."""

    status_code = 403

    def __init__(self) -> None:
        super().__init__("Commit an answer first: what was wrong is shown after that.")


class NotMadeYetError(BitewrightError):
    """An exercise was asked for before it was made."""

    status_code = 409

    def __init__(self) -> None:
        super().__init__("This exercise is still being made: wait a moment.")


class GivenSet:
    """One set on a server. Any thread may ask."""

    def __init__(self, request: SetRequest) -> None:
        self.name = token_urlsafe(6)
        self.request = request
        self.begun = datetime.now(UTC)
        self.work = LongWork("The set")
        self._made: list[SetItem] = []
        self._failure: BitewrightError | None = None
        self._answers: dict[tuple[str, int], ItemAnswer] = {}
        self._aims: dict[tuple[str, int], list[HandSetting]] = {}
        self._last_set_up: dict[tuple[str, int], dict[str, object]] = {}
        self._codes: dict[tuple[str, int], str] = {}
        self._told: dict[tuple[str, int], dict[str, Any]] = {}
        self._changed = Condition()
        self._keeping = Lock()
        Thread(target=self._make, name=f"set-{self.name}", daemon=True).start()

    def _make(self) -> None:
        try:
            for made in made_items(self.request, begin=self.work.begin):
                with self._changed:
                    self._made.append(made)
                    self._changed.notify_all()
        except StoppedError:
            return
        except BitewrightError as error:
            with self._changed:
                self._failure = error
                self._changed.notify_all()

    @property
    def ready(self) -> int:
        """How many exercises are made."""
        return len(self._made)

    def wait(self, number: int, *, seconds: float) -> bool:
        """Whether an exercise is made, waiting so long for it."""
        self._known(number)
        until = monotonic() + seconds
        with self._changed:
            while len(self._made) <= number and self._failure is None:
                left = until - monotonic()
                if left <= 0.0 or not self._changed.wait(left):
                    break
            if len(self._made) <= number and self._failure is not None:
                raise self._failure
            return len(self._made) > number

    def being_made(self) -> dict[str, Any]:
        """How far the set is, while an exercise of it is waited for."""
        doing = str(self.work.document()["doing"])
        said = being_made_words(self.ready, self.request.count, doing)
        return {"waiting": True, "ready": self.ready, "said": said}

    def document(self, number: int) -> dict[str, Any]:
        """An exercise as it is given: nothing in it tells the answer."""
        made = self.made(number)
        item = made.item
        given: dict[str, Any] = {
            "number": number,
            "of": self.request.count,
            "kind": item.kind.value,
            "title": KIND_TITLES[item.kind],
            "question": item.question,
            "choices": list(item.choices),
        }
        if isinstance(made, MadeItem) and item.kind is ItemKind.CORRECT:
            given["drawing"] = neutral_document(made)
        if isinstance(made, MadeItem) and item.kind is ItemKind.AIM:
            given["bench"] = beginning_document(made)
        return given

    def laid(self, number: int, settings: Mapping[str, object]) -> dict[str, Any]:
        """A set-up of an exercise of aiming, drawn.

        Raises
        ------
        NoSuchExerciseError
        """
        return set_up_document(self._to_aim(number), settings)

    def expose(self, person: str, number: int, settings: Mapping[str, object]) -> dict[str, Any]:
        """Take a film; after the commit there is none.

        Raises
        ------
        NoSuchExerciseError, NoMoreExposuresError
        """
        made = self._to_aim(number)
        setting = exposed_setting(made, settings)
        with self._changed:
            taken = self._aims.setdefault((person, number), [])
            if len(taken) >= MOST_EXPOSURES or (person, number) in self._answers:
                raise NoMoreExposuresError
            taken.append(setting)
            self._last_set_up[person, number] = dict(settings)
        return self.exposures(person, number)

    def taken_up(self, person: str, number: int) -> dict[str, Any]:
        """An exercise of aiming where somebody left it: films taken, and the set-up of the last."""
        last = self._last_set_up.get((person, number))
        return self.exposures(person, number) | ({"begins": last} if last else {})

    def exposures(self, person: str, number: int) -> dict[str, Any]:
        """How many films somebody took of an exercise, in words too; none so far: an empty text."""
        count = len(self._aims.get((person, number), ()))
        said = exposed_words(self._to_aim(number), count) if count else ""
        return {"exposures": count, "said": said}

    def exposed_film(self, person: str, number: int, which: int) -> bytes:
        """One of the films that somebody took, counted from 1.

        Raises
        ------
        NoSuchExerciseError
        """
        taken = self._aims.get((person, number), [])
        if not 1 <= which <= len(taken):
            raise NoSuchExerciseError
        return exposed_film(self._to_aim(number), taken[which - 1], seed=100 * number + which)

    def _to_aim(self, number: int) -> MadeItem:
        made = self.made(number)
        if not isinstance(made, MadeItem) or made.item.kind is not ItemKind.AIM:
            raise NoSuchExerciseError
        return made

    def commit(
        self,
        person: str,
        number: int,
        given: Mapping[str, Any],
        *,
        code: str | None = None,
        keep: Keeper | None = None,
    ) -> dict[str, Any]:
        """Take an answer and tell the truth; a second answer changes nothing.

        ``code``: the one that the person gave. ``keep``: keeps an answer for good under that code,
        before it is taken, so that an answer that could not be kept can be given again.

        Raises
        ------
        ItemAnswerError, NotMadeYetError, NoSuchExerciseError
        """
        made = self.made(number)
        answer = replace(item_answer(given), aims=tuple(self._aims.get((person, number), ())))
        score, key = answer_score(made, answer), (person, number)
        with self._keeping:
            if key not in self._answers:
                if code and keep is not None:
                    keep(made.item, answer, score)
                with self._changed:
                    self._answers[key] = answer
                    if code:
                        self._codes[key] = code
        return self.told(person, number)

    def told(self, person: str, number: int) -> dict[str, Any]:
        """What is told after an answer.

        Raises
        ------
        NotCommittedError
        """
        answer = self._answers.get((person, number))
        if answer is None:
            raise NotCommittedError
        key = (person, number)
        if key not in self._told:
            told = told_after(self.made(number), answer)
            self._told[key] = told | {"kept": kept_answer_words(self._codes.get(key))}
        return self._told[key]

    def answered(self, person: str) -> tuple[int, ...]:
        """Which exercises somebody has answered."""
        return tuple(number for who, number in list(self._answers) if who == person)

    def course(self, person: str) -> dict[str, Any]:
        """How far somebody is: outcomes by exercise, None where not answered, and their sum."""
        told = {number: self.told(person, number) for number in self.answered(person)}
        outcomes = [
            {name: told[number][name] for name in ("score", "outcome")} if number in told else None
            for number in range(self.request.count)
        ]
        total = float(sum(each["score"] for each in told.values()))
        return {"course": outcomes, "answered": len(told), "score": total}

    def chosen_by_code(self) -> dict[str, dict[str, int]]:
        """The choices that were given under a code, by exercise; for the teacher's side alone."""
        with self._changed:
            codes, answers = dict(self._codes), dict(self._answers)
        found: dict[str, dict[str, int]] = {}
        for key, answer in answers.items():
            if key in codes and answer.chosen is not None:
                own = found.setdefault(codes[key], {})
                own.setdefault(self._made[key[1]].item.id, answer.chosen)
        return found

    def made_so_far(self) -> tuple[SetItem, ...]:
        """The exercises with their truth: for the teacher's side alone."""
        return tuple(self._made)

    def best_film(self, person: str, number: int) -> bytes:
        """The film as it would have been, for who has answered."""
        self.told(person, number)
        return self.made(number).best_png

    def your_film(self, person: str, number: int) -> bytes:
        """The film that somebody's movement would have given.

        Raises
        ------
        NotCommittedError, ReceptorTooLargeError
        """
        self.told(person, number)
        movement = self._answers[person, number].movement
        if movement is None:
            raise NoSuchExerciseError
        made = self.made(number)
        if not isinstance(made, MadeItem):
            raise NoSuchExerciseError
        film = made.exercise.film
        exposure = slipped_exposure(film.plan, film.slip + movement)
        shot = exercise_place(made.place).film(exposure, seed=number)
        return exercise_film(shot.pixels, pixel_mm=PIXEL_MM, places_mm={})

    def made(self, number: int) -> SetItem:
        """An exercise with its truth: for the teacher's side alone."""
        self._known(number)
        if len(self._made) <= number:
            raise NotMadeYetError
        return self._made[number]

    def _known(self, number: int) -> None:
        if not 0 <= number < self.request.count:
            raise NoSuchExerciseError


class GivenSets:
    """Every set of a server."""

    def __init__(self) -> None:
        self._lock = Lock()
        self._sets: dict[str, GivenSet] = {}

    def begin(self, request: SetRequest) -> GivenSet:
        """Begin to make a set; it goes on by itself."""
        with self._lock:
            while len(self._sets) >= MOST_SETS:
                oldest = min(self._sets.values(), key=lambda each: each.begun)
                oldest.work.stop()
                del self._sets[oldest.name]
            made = GivenSet(request)
            self._sets[made.name] = made
            return made

    def of(self, name: str) -> GivenSet:
        """A set by name.

        Raises
        ------
        NoSuchExerciseError
        """
        found = self._sets.get(name)
        if found is None:
            raise NoSuchExerciseError
        return found

    def all(self) -> tuple[GivenSet, ...]:
        """Every set, the newest first."""
        return tuple(sorted(self._sets.values(), key=lambda each: each.begun, reverse=True))


__all__ = [
    "GivenSet",
    "GivenSets",
    "NoSuchExerciseError",
    "NotCommittedError",
    "NotMadeYetError",
]

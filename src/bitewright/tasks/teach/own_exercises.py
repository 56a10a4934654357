"""Exercises with films of one's own: kept with consent noted, chosen into sets one by one."""

import hashlib
from base64 import b64decode, b64encode
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from bitewright.errors import BitewrightError, quoted
from bitewright.files.own_exercises import (
    OWN_EXERCISE_FORMAT,
    keep_own_exercise,
    own_exercise_documents,
    remove_own_exercise,
)
from bitewright.log.faults import fault_kinds
from bitewright.nearest_name import meant
from bitewright.report.film_png import film_png
from bitewright.tasks.assess.decoded_film import DecodedFilm
from bitewright.tasks.catalogue.own_checklists import known_checklists
from bitewright.tasks.teach.noted_consent import NotedConsent, check_consent
from bitewright.teaching.item import Item, ItemKind
from bitewright.words.own_exercises import OWN_QUESTION, own_choice, own_explanation

SEEN_IN_FILMS = (
    *("overlap", "receptor-placement", "tilted", "off-centre", "vertical-angle", "cone-cut"),
    *("receptor-reversed", "receptor-bent", "movement", "under-exposed", "over-exposed"),
    *("double-exposed", "artefact"),
)
"""Faults that a picture shows, to be offered beside what the teacher reads. Our choice."""

ALIKE = (
    {"overlap", "horizontal-angle"},
    {"receptor-placement", "crest-missing", "tilted", "off-centre", "not-closed", "vertical-angle"},
    {"exposure", "under-exposed", "over-exposed", "processing"},
    {"receptor-bent", "artefact", "equipment"},
)
"""What often shows together or is read either way: beside one, the others are not offered."""

MOST_OFFERED = 6
WIDEST_PX = 1400
"""A film is kept at most this wide. Our choice. [px]"""


class OwnExerciseThereError(BitewrightError):
    """An exercise of this name is kept already."""

    status_code = 409

    def __init__(self, name: str) -> None:
        super().__init__(
            f"There is an exercise {quoted(name)} already: choose another name, or drop that one."
        )


class NoOwnExerciseError(BitewrightError):
    """No exercise of this name is kept."""

    status_code = 404

    def __init__(self, name: str, known: Sequence[str]) -> None:
        allowed = f"give one of {', '.join(known)}" if known else "none is kept yet"
        super().__init__(
            f"There is no exercise {quoted(name)} of your own: {allowed}.{meant(name, known)}"
        )


class OwnFaultError(BitewrightError):
    """A film is to be kept with a fault that is not in the log."""

    status_code = 422

    def __init__(self, name: str) -> None:
        super().__init__(
            f"The fault {quoted(name)} is not known: give one of {', '.join(fault_kinds())}."
            f"{meant(name, fault_kinds())}"
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnExercise:
    """An exercise with a film of one's own.

    Parameters
    ----------
    name : str
    faults : tuple of str
        What the teacher reads in the film, as in the log; each is a right answer.
    offered : tuple of str
        All that can be chosen.
    says : str
        What the teacher says of it, after the answer.
    read_by, consent_on : str
        Code of who read it and noted consent; ISO date of that.
    film_png : bytes
    """

    name: str
    faults: tuple[str, ...]
    offered: tuple[str, ...]
    says: str
    read_by: str
    consent_on: str
    film_png: bytes

    def item(self) -> Item:
        """The exercise as it is given."""
        looks = known_checklists()[self.faults[0]]
        return Item(
            id=hashlib.sha256(self.film_png + OWN_QUESTION.encode()).hexdigest()[:12],
            kind=ItemKind.NAME,
            topic=self.faults[0],
            question=OWN_QUESTION,
            choices=tuple(own_choice(each) for each in self.offered),
            key=tuple(k for k, each in enumerate(self.offered) if each in self.faults),
            explanation=own_explanation(self.faults, self.says, self.read_by, looks),
            film_png=self.film_png,
        )


def keep_own_film(
    name: str,
    film: DecodedFilm,
    noted: NotedConsent,
    *,
    also: Sequence[str] = (),
    says: str = "",
    today: date,
) -> OwnExercise:
    """Keep a film as an exercise, drawn afresh so that nothing else of its file goes in.

    Parameters
    ----------
    name : str
    film : DecodedFilm
    noted : NotedConsent
        With the fault that the teacher reads.
    also : sequence of str
        Further faults that would be right, too.
    says : str
    today : date

    Raises
    ------
    OwnFaultError, OwnExerciseThereError, SchemaViolationError, FileUnwritableError, and as
    `check_consent`
    """
    faults = tuple(dict.fromkeys((noted.fault, *also)))
    for each in faults:
        if each not in fault_kinds():
            raise OwnFaultError(each)
    check_consent(noted, (film,), today=today)
    if name in own_exercise_documents():
        raise OwnExerciseThereError(name)
    made = OwnExercise(
        name=name,
        faults=faults,
        offered=_offered(faults, film.sha256),
        says=says.strip(),
        read_by=noted.consent_by,
        consent_on=noted.consent_on,
        film_png=film_png(film.image, most_px=WIDEST_PX),
    )
    keep_own_exercise(
        {
            "format": OWN_EXERCISE_FORMAT,
            "name": made.name,
            "faults": list(made.faults),
            "offered": list(made.offered),
            "says": made.says,
            "read_by": made.read_by,
            "consent_on": made.consent_on,
            "no_names_seen": True,
            "film": b64encode(made.film_png).decode(),
        }
    )
    return made


def _offered(faults: Sequence[str], drawn_by: str) -> tuple[str, ...]:
    """What the teacher reads and others that are not like it, in an order that tells nothing."""
    like = {each for group in ALIKE if group & set(faults) for each in group} | set(faults)
    others = [each for each in SEEN_IN_FILMS if each not in like]
    generator = np.random.default_rng(int(drawn_by[:12], 16))
    picked = [others[k] for k in generator.permutation(len(others))[: MOST_OFFERED - len(faults)]]
    every = [*faults, *picked]
    return tuple(every[k] for k in generator.permutation(len(every)))


def own_exercises() -> dict[str, OwnExercise]:
    """All of them by name."""
    return {
        name: OwnExercise(
            name=name,
            faults=tuple(of["faults"]),
            offered=tuple(of["offered"]),
            says=of["says"],
            read_by=of["read_by"],
            consent_on=of["consent_on"],
            film_png=b64decode(of["film"]),
        )
        for name, of in own_exercise_documents().items()
    }


def own_exercise(name: str) -> OwnExercise:
    """One of them.

    Raises
    ------
    NoOwnExerciseError
    """
    known = own_exercises()
    if name not in known:
        raise NoOwnExerciseError(name, tuple(known))
    return known[name]


def drop_own_exercise(name: str) -> None:
    """Remove one of them, with its film.

    Raises
    ------
    NoOwnExerciseError, FileUnwritableError
    """
    own_exercise(name)
    remove_own_exercise(name)


__all__ = [
    "NoOwnExerciseError",
    "OwnExercise",
    "OwnExerciseThereError",
    "OwnFaultError",
    "drop_own_exercise",
    "keep_own_film",
    "own_exercise",
    "own_exercises",
]

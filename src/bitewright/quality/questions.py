"""What an image is taken to answer, and which surfaces and crests that needs."""

import tomllib
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from types import MappingProxyType

from bitewright.errors import BitewrightError, quoted
from bitewright.quality.criteria import Question
from bitewright.quality.wanted import Pair, Wanted, edges

CANINE = 3


OF_NAMED_SURFACES = frozenset({Question.RESTORATION, Question.SURFACE})
"""Questions that are only asked with the surfaces they are about."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NamedQuestion:
    """A question about named surfaces, such as "15.distal".

    Raises
    ------
    NamedSurfacesError
        If the question needs surfaces and has none, or has some and is not about any.
    """

    question: Question
    surfaces: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if (self.question in OF_NAMED_SURFACES) is not bool(self.surfaces):
            raise NamedSurfacesError(self.question, self.surfaces)


AnyQuestion = Question | NamedQuestion
"""A question, with the surfaces it is about where it is about some."""


class NamedSurfacesError(BitewrightError):
    """A question lacks the surfaces it is about, or was given some and is about none."""

    def __init__(self, question: Question, surfaces: tuple[str, ...]) -> None:
        self.question = question
        self.surfaces = surfaces
        title = questions()[question].title
        super().__init__(
            f"The question '{title}' is about no single surfaces: leave out the surfaces, or ask "
            f"for {questions()[Question.SURFACE].title}."
            if surfaces
            else f"The question '{title}' is about surfaces: name at least one, such as 15.distal."
        )


class SurfaceNotInViewError(BitewrightError):
    """A question names a surface that the view does not show."""

    def __init__(self, surface: str, of: Wanted) -> None:
        self.surface = surface
        super().__init__(
            f"The surface {quoted(surface)} is none that a {of.view.title} view is to show in this "
            f"mouth: give one of {', '.join(of.surfaces)}."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedFor:
    """One question of the table: what is shown of it and what it needs; see ``questions.toml``."""

    question: Question
    title: str
    good_for: str
    says: str
    surfaces: str
    crests: str
    canine: bool
    last: bool
    level: bool
    unreadable_share: float
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Needs:
    """What one image must show for its question; everything else that a view wants is ideal."""

    surfaces: frozenset[str]
    crests: frozenset[str]
    level: bool
    unreadable_share: float


@lru_cache(maxsize=256)
def needs(question: AnyQuestion, of: Wanted) -> Needs:
    """What a question needs of what a view wants of a mouth.

    Raises
    ------
    NamedSurfacesError, SurfaceNotInViewError
    """
    asked = NamedQuestion(question=question) if isinstance(question, Question) else question
    row = questions()[asked.question]
    for name in asked.surfaces:
        if name not in of.surfaces:
            raise SurfaceNotInViewError(name, of)
    surfaces, crests = set(asked.surfaces), {f"{name}.crest" for name in asked.surfaces}
    if row.surfaces == "view":
        surfaces = set(of.surfaces) - (set() if row.last else set(of.last_surfaces))
    if row.crests == "view":
        crests = set(of.crests)
    if not row.canine:
        with_canine = {
            name for pair in of.contacts if is_canines_contact(pair) for name in edges(pair)
        }
        surfaces -= with_canine | {name for name in surfaces if _of_canine(name)}
        crests = {name for name in crests if not _of_canine(name)}
    return Needs(
        surfaces=frozenset(surfaces) if row.surfaces != "none" else frozenset(),
        crests=frozenset(crests) if row.crests != "none" else frozenset(),
        level=row.level,
        unreadable_share=row.unreadable_share,
    )


def is_canines_contact(pair: Pair) -> bool:
    """Whether a contact is the canine's with the premolar next to it, which is only ideal.

    Across a missing premolar the one behind keeps its own surface, as beside a gap.
    """
    return pair[0] % 10 == CANINE and pair[1] - pair[0] == 1


def plain_question(question: AnyQuestion) -> Question:
    """A question without the surfaces it is about."""
    return question if isinstance(question, Question) else question.question


def unreadable_share(question: AnyQuestion) -> float:
    """Share of the thinner enamel beyond which an overlap cannot be read for a question."""
    return questions()[plain_question(question)].unreadable_share


def question_about(question: Question, surfaces: Sequence[str] = ()) -> AnyQuestion:
    """A question with the surfaces it is about, if it is about some.

    Raises
    ------
    NamedSurfacesError
    """
    if not surfaces and question not in OF_NAMED_SURFACES:
        return question
    return NamedQuestion(question=question, surfaces=tuple(surfaces))


def _of_canine(name: str) -> bool:
    return int(name[1]) == CANINE


@lru_cache(maxsize=1)
def questions() -> MappingProxyType[Question, AskedFor]:
    """All questions."""
    text = (files("bitewright.quality") / "tables" / "questions.toml").read_text("utf-8")
    table = tomllib.loads(text)
    return MappingProxyType(
        {
            question: AskedFor(
                question=question, **{"unreadable_share": float("inf")} | table[question.value]
            )
            for question in Question
        }
    )


__all__ = [
    "OF_NAMED_SURFACES",
    "AnyQuestion",
    "AskedFor",
    "NamedQuestion",
    "NamedSurfacesError",
    "Needs",
    "SurfaceNotInViewError",
    "is_canines_contact",
    "needs",
    "plain_question",
    "question_about",
    "questions",
    "unreadable_share",
]

"""One exercise: what a student is given, and what is kept back until an answer is committed."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from bitewright.errors import BitewrightError, quoted


class ItemKind(StrEnum):
    """What an exercise asks a person to do."""

    READ = "read"
    NAME = "name"
    CORRECT = "correct"
    AIM = "aim"
    DECIDE = "decide"
    ORDER = "order"


class ItemAnswerError(BitewrightError):
    """An answer that the exercise does not allow."""

    status_code = 422

    def __init__(self, given: object, allowed: str) -> None:
        self.given = given
        super().__init__(f"The answer {quoted(given)} cannot be taken: give {allowed}.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One exercise.

    Parameters
    ----------
    id : str
        The same for everybody who is given it; it tells nothing of the answer.
    kind : ItemKind
    topic : str
        The fault, or the criterion, that it is about. Kept back.
    question : str
    choices : tuple of str
        Empty where a movement is asked for.
    key : tuple of int
        Which choices are right, counted from 0: several where the film cannot tell them apart. For
        `ItemKind.ORDER` all of them, in the right order. Kept back.
    explanation : tuple of str
        What is said after the answer, a sentence each. Kept back.
    film_png : bytes
        The film to look at, eight bits; nothing in it tells the answer but the picture.
    """

    id: str
    kind: ItemKind
    topic: str
    question: str
    choices: tuple[str, ...]
    key: tuple[int, ...]
    explanation: tuple[str, ...]
    film_png: bytes


def choice_score(item: Item, chosen: int) -> float:
    """1 for a right choice, 0 for a wrong one.

    Raises
    ------
    ItemAnswerError
        If there is no such choice.
    """
    if not 0 <= chosen < len(item.choices):
        raise ItemAnswerError(chosen, f"a choice from 0 to {len(item.choices) - 1}")
    return 1.0 if chosen in item.key else 0.0


def order_score(item: Item, order: Sequence[int]) -> float:
    """The share of pairs that stand in the right order, 0 to 1.

    Source: what Kendall counts for his rank correlation, Biometrika 1938;30:81-93 (from memory).

    Raises
    ------
    ItemAnswerError
        If the order does not hold every choice once.
    """
    if sorted(order) != list(range(len(item.choices))):
        raise ItemAnswerError(list(order), f"each number from 0 to {len(item.choices) - 1} once")
    place = {choice: number for number, choice in enumerate(item.key)}
    pairs = [(one, other) for k, one in enumerate(order) for other in order[k + 1 :]]
    return sum(place[one] < place[other] for one, other in pairs) / len(pairs)


__all__ = ["Item", "ItemAnswerError", "ItemKind", "choice_score", "order_score"]

"""How far those agree who answered one set on a server, each time that it was given out."""

from collections.abc import Sequence

from bitewright.tasks.teach.compare_readers import (
    ReaderAnswers,
    ReadersCompared,
    ReadItem,
    compare_readers,
)
from bitewright.tasks.teach.given_sets import GivenSet, GivenSets
from bitewright.tasks.teach.make_items import SetItem


def given_readers(sets: GivenSets, name: str) -> ReadersCompared:
    """Compare those who gave a code; the same set begun again is their next reading.

    Raises
    ------
    NoSuchExerciseError
    """
    asked = sets.of(name)
    alike = [each for each in reversed(sets.all()) if each.request == asked.request]
    made = max((each.made_so_far() for each in alike), key=len)
    return compare_readers(_items(made), [each for given in alike for each in _readings(given)])


def _items(made: Sequence[SetItem]) -> list[ReadItem]:
    return [
        ReadItem(
            id=each.item.id,
            number=number,
            kind=each.item.kind,
            question=each.item.question,
            choices=each.item.choices,
            key=each.item.key,
        )
        for number, each in enumerate(made, start=1)
    ]


def _readings(given: GivenSet) -> list[ReaderAnswers]:
    return [
        ReaderAnswers(reader=code, chosen=chosen) for code, chosen in given.chosen_by_code().items()
    ]


__all__ = ["given_readers"]

"""Things that take long to make, each made once however many threads ask for it."""

from collections import OrderedDict
from collections.abc import Callable, Hashable
from threading import Lock
from typing import Generic, TypeVar

Key = TypeVar("Key", bound=Hashable)
Made = TypeVar("Made")


class MadeOnce(Generic[Key, Made]):
    """The last things made, by key; who asks while one is being made waits for it.

    Parameters
    ----------
    most : int
        How many are kept; what was not asked for longest goes first.
    """

    def __init__(self, most: int) -> None:
        self._most = most
        self._lock = Lock()
        self._places: OrderedDict[Key, _Place[Made]] = OrderedDict()

    def of(self, key: Key, make: Callable[[], Made]) -> Made:
        """What is kept under a key, or else what `make` makes; if it fails, the next one tries."""
        with self._lock:
            place = self._places.setdefault(key, _Place())
            self._places.move_to_end(key)
            while len(self._places) > self._most:
                self._places.popitem(last=False)
        with place.lock:
            if not place.made:
                place.made.append(make())
            return place.made[0]


class _Place(Generic[Made]):
    """Where one thing is kept, and the lock of who makes it."""

    def __init__(self) -> None:
        self.lock = Lock()
        self.made: list[Made] = []


__all__ = ["MadeOnce"]

"""What takes long is made once, however many threads ask for it."""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from threading import Barrier, Event
from typing import TypeVar

import pytest

from bitewright.steps import StoppedError
from bitewright.tasks.made_once import MadeOnce

Answer = TypeVar("Answer")
THREADS = 4


def together(ask: Callable[[], Answer]) -> list[Answer]:
    """What several threads get that ask at the same time."""
    ready = Barrier(THREADS)

    def wait_and_ask(_: int) -> Answer:
        ready.wait()
        return ask()

    with ThreadPoolExecutor(THREADS) as pool:
        return list(pool.map(wait_and_ask, range(THREADS)))


def test_threads_that_ask_together_get_one_thing() -> None:
    made: list[object] = []

    def slowly() -> object:
        Event().wait(0.05)
        made.append(object())
        return made[-1]

    kept: MadeOnce[str, object] = MadeOnce(2)
    assert set(together(lambda: kept.of("a", slowly))) == set(made)
    assert len(made) == 1


def test_one_thing_does_not_wait_for_another() -> None:
    """The first is not done before the second is: with one lock for both it never would be."""
    kept: MadeOnce[str, str] = MadeOnce(2)
    second_is_made = Event()

    def first() -> str:
        assert second_is_made.wait(30)
        return "first"

    with ThreadPoolExecutor(1) as pool:
        waiting = pool.submit(kept.of, "one", first)
        assert kept.of("two", lambda: "second") == "second"
        second_is_made.set()
        assert waiting.result() == "first"


def test_what_was_not_asked_for_longest_goes_first() -> None:
    made: list[str] = []
    kept: MadeOnce[str, None] = MadeOnce(2)
    for key in ("a", "b", "a", "c", "a", "b"):
        kept.of(key, lambda key=key: made.append(key))  # type: ignore[misc]
    assert made == ["a", "b", "c", "b"]


def test_after_a_failure_the_next_one_tries() -> None:
    kept: MadeOnce[str, str] = MadeOnce(2)

    def fails() -> str:
        raise StoppedError("It")

    with pytest.raises(StoppedError):
        kept.of("a", fails)
    assert kept.of("a", lambda: "made") == "made"

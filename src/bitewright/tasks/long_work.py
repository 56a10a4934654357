"""Long work that can be watched and stopped from another thread, and all of it at once."""

from threading import Event, Lock
from typing import Any
from weakref import WeakSet

from bitewright.steps import StoppedError

PROGRESS_FORMAT = "bitewright.progress/1"


class LongWork:
    """One piece of work: hand `begin` to it, ask `document` how far it is, `stop` it.

    Parameters
    ----------
    what : str
        In words, for the sentence that says it was stopped: "The film's mouth".
    """

    def __init__(self, what: str) -> None:
        self.what = what
        self._told = Lock()
        self._stopped = Event()
        self._state, self._doing, self._done, self._of = "waiting", "", 0, 0
        with _KNOWING:
            if _ENDED.is_set():
                self._stopped.set()
            _KNOWN.add(self)

    def expect(self, steps: int) -> None:
        """Say how many steps there will be; the count begins anew."""
        with self._told:
            self._state, self._done, self._of = "working", 0, steps

    def begin(self, doing: str) -> None:
        """Take note of a step that begins now.

        Raises
        ------
        StoppedError
            If the work was stopped meanwhile.
        """
        self.go_on(doing)
        with self._told:
            self._state, self._doing = "working", doing
            self._done = self._done + 1

    def go_on(self, _doing: str = "") -> None:
        """As `begin`, for what is no step of it: nothing is noted."""
        if self._stopped.is_set():
            with self._told:
                self._state = "stopped"
            raise StoppedError(self.what)

    def finish(self) -> None:
        """Take note that it is done."""
        with self._told:
            self._state, self._doing, self._done = "done", "", self._of

    def stop(self) -> None:
        """Let it end at its next step; work that waits to begin does not begin."""
        self._stopped.set()
        with self._told:
            if self._state == "waiting":
                self._state = "stopped"

    def allow(self) -> None:
        """Let it be done again after it was stopped."""
        if not _ENDED.is_set():
            self._stopped.clear()
            with self._told:
                if self._state == "stopped":
                    self._state = "waiting"

    def document(self) -> dict[str, Any]:
        """How far it is: waiting, working, stopped or done; steps done of those there are."""
        with self._told:
            begun = max(self._done - 1, 0) if self._state == "working" else self._done
            return {
                "format": PROGRESS_FORMAT,
                "state": self._state,
                "doing": self._doing,
                "done": min(begun, self._of),
                "of": self._of,
            }


_KNOWN: "WeakSet[LongWork]" = WeakSet()
_KNOWING = Lock()
_ENDED = Event()


def end_all_work() -> None:
    """Stop all long work there is and will be: the program ends."""
    with _KNOWING:
        _ENDED.set()
        known = list(_KNOWN)
    for work in known:
        work.stop()


__all__ = ["PROGRESS_FORMAT", "LongWork", "end_all_work"]

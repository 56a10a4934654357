"""Long work told step by step to whoever asked for it, who may stop it between two steps.

Science is handed a `Begin` and calls it; what becomes of the words, and whether it raises, is the
caller's.
"""

from collections.abc import Callable

from bitewright.errors import BitewrightError

Begin = Callable[[str], None]
"""Told what begins now, in words such as "tooth 16"; raises to stop the work there."""

Expect = Callable[[int], None]
"""Told beforehand how many steps there will be."""


class StoppedError(BitewrightError):
    """The work was stopped by whoever asked for it."""

    def __init__(self, what: str) -> None:
        self.what = what
        super().__init__(f"{what} was stopped before it was done: ask again to begin anew.")


def unwatched(_doing: str) -> None:
    """Nobody asks how far the work is."""


def uncounted(_steps: int) -> None:
    """Nobody asks how many steps there will be."""


__all__ = ["Begin", "Expect", "StoppedError", "uncounted", "unwatched"]

"""Ctrl-C ends a command also where it comes while a compiler calls back, which swallows it."""

import _thread
import signal
import sys
import threading
from collections.abc import Callable
from threading import Timer
from types import FrameType

AGAIN_S = 0.05
"""After how long a Ctrl-C that was swallowed is given once more. Our choice."""


def heed_interrupts() -> Callable[[], bool]:
    """Give a swallowed Ctrl-C again; tells whether there was one.

    Where a shell has Ctrl-C ignored, as for what runs behind it, it stays so.
    """
    pressed = False
    usual = sys.unraisablehook

    def press(number: int, frame: FrameType | None) -> None:
        nonlocal pressed
        pressed = True
        signal.default_int_handler(number, frame)

    def not_raised(unraisable: "sys.UnraisableHookArgs") -> None:
        if isinstance(unraisable.exc_value, KeyboardInterrupt):
            again = Timer(AGAIN_S, _press_again)
            again.daemon = True
            again.start()
        else:
            usual(unraisable)

    if signal.getsignal(signal.SIGINT) is signal.default_int_handler:
        signal.signal(signal.SIGINT, press)
        sys.unraisablehook = not_raised
    return lambda: pressed


def _press_again() -> None:
    """Wake the main thread with it, which a bare interrupt does not do while it waits."""
    if hasattr(signal, "pthread_kill"):
        signal.pthread_kill(threading.main_thread().ident or 0, signal.SIGINT)
    else:
        _thread.interrupt_main()


__all__ = ["heed_interrupts"]

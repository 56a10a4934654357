"""Work in a thread that ends at its next step when the browser no longer waits for it."""

from collections.abc import Callable
from typing import TypeVar

import anyio
import anyio.to_thread
from starlette.requests import Request

from bitewright.errors import BitewrightError
from bitewright.steps import Begin
from bitewright.tasks.long_work import LongWork

Made = TypeVar("Made")


async def while_wanted(
    request: Request,
    what: str,
    work: Callable[[Begin], Made],
    *,
    at_once: anyio.CapacityLimiter,
) -> Made:
    """Do work for a request; a page that cancels or is closed stops it.

    Parameters
    ----------
    request : Request
        Whose body was not read.
    what : str
        In words, should it be stopped.
    work : callable
        Is handed what to call before each step.
    at_once : CapacityLimiter
        How many such works there may be at a time; the others wait.

    Raises
    ------
    BitewrightError
        As the work does.
    """
    watched = LongWork(what)
    made: list[Made] = []
    failures: list[BitewrightError] = []

    async def listen() -> None:
        while (await request.receive())["type"] != "http.disconnect":
            pass
        watched.stop()

    def do() -> None:
        try:
            watched.begin(what)
            made.append(work(watched.begin))
        except BitewrightError as error:
            failures.append(error)

    async with anyio.create_task_group() as group:
        group.start_soon(listen)
        await anyio.to_thread.run_sync(do, limiter=at_once)
        group.cancel_scope.cancel()
    if failures:
        raise failures[0]
    return made[0]


__all__ = ["while_wanted"]

"""A talk over a websocket that works on the newest wish alone: hands are quicker than films."""

import json
from collections.abc import Awaitable, Callable
from contextlib import suppress
from time import perf_counter
from typing import Any

import anyio
from starlette.websockets import WebSocket, WebSocketDisconnect, WebSocketState

from bitewright.errors import BitewrightError, quoted

MOST_MESSAGE = 4096
"""Characters of a wish; a websocket's frame may be as many bytes as they can take."""

MOST_FRAME_BYTES = 4 * MOST_MESSAGE
Wish = dict[str, Any]
Answer = Callable[[Wish, float], Awaitable[str | bytes]]
"""Answers a wish that came at a time. [s]"""


class BadWishError(BitewrightError):
    """A message to the bench is not what the page sends."""

    def __init__(self, given: str) -> None:
        super().__init__(
            f"The bench was sent {quoted(given)}, it takes an object with a number `seq` and "
            "`settings`; reload the page."
        )


async def answer_newest(
    socket: WebSocket, answer: Answer, refusal: Callable[[BitewrightError, int], dict[str, Any]]
) -> None:
    """Answer wishes one at a time until the page goes; each message gets one answer.

    A wish that a newer one came after, before its turn, is told to be outdated and not worked on.
    """
    talk = _Talk(socket, refusal)
    async with anyio.create_task_group() as group:
        group.start_soon(talk.listen, group.cancel_scope)
        while True:
            wish, came = await talk.newest()
            try:
                made = await answer(wish, came)
            except BitewrightError as error:
                made = json.dumps(refusal(error, wish["seq"]))
            await talk.say(made)


class _Talk:
    """What has come and was not answered yet: one wish at most."""

    def __init__(
        self, socket: WebSocket, refusal: Callable[[BitewrightError, int], dict[str, Any]]
    ) -> None:
        self._socket = socket
        self._refusal = refusal
        self._waiting: tuple[Wish, float] | None = None
        self._has_come = anyio.Event()

    async def listen(self, until: anyio.CancelScope) -> None:
        """Take messages until the page goes, which ends the talk."""
        with suppress(WebSocketDisconnect):
            while True:
                text = await received(self._socket)
                try:
                    wish = wish_of(text)
                except BadWishError as error:
                    await self.say(json.dumps(self._refusal(error, 0)))
                    continue
                outdated, self._waiting = self._waiting, (wish, perf_counter())
                self._has_come.set()
                if outdated is not None:
                    await self.say(json.dumps({"seq": outdated[0]["seq"], "outdated": True}))
        until.cancel()

    async def newest(self) -> tuple[Wish, float]:
        """The newest wish and when it came, once there is one."""
        while self._waiting is None:
            self._has_come = anyio.Event()
            await self._has_come.wait()
        newest, self._waiting = self._waiting, None
        return newest

    async def say(self, made: str | bytes) -> None:
        """Send an answer, unless the page has gone meanwhile."""
        if self._socket.application_state is not WebSocketState.CONNECTED:
            return
        with suppress(WebSocketDisconnect, RuntimeError):
            await (
                self._socket.send_text(made)
                if isinstance(made, str)
                else self._socket.send_bytes(made)
            )


async def received(socket: WebSocket) -> str:
    """The next message as text; one of bytes is no wish, and told so.

    Raises
    ------
    WebSocketDisconnect
    """
    message = await socket.receive()
    if message["type"] == "websocket.disconnect":
        raise WebSocketDisconnect(message.get("code", 1000))
    return message.get("text") or ""


def wish_of(text: str) -> Wish:
    """A message as a wish.

    Raises
    ------
    BadWishError
    """
    try:
        wish = json.loads(text) if len(text) <= MOST_MESSAGE else None
    except (ValueError, RecursionError):
        wish = None
    if not (
        isinstance(wish, dict)
        and isinstance(wish.get("seq"), int)
        and not isinstance(wish["seq"], bool)
        and 0 <= wish["seq"] < 2**32
        and isinstance(wish.get("settings"), dict)
        and is_rating(wish.get("by", {}))
    ):
        raise BadWishError(text)
    return wish


def is_rating(by: object) -> bool:
    """Whether it names a question and a scheme, or leaves them out."""
    return (
        isinstance(by, dict)
        and by.keys() <= {"question", "scheme"}
        and all(isinstance(name, str) for name in by.values())
    )


__all__ = [
    "MOST_FRAME_BYTES",
    "MOST_MESSAGE",
    "BadWishError",
    "Wish",
    "answer_newest",
    "wish_of",
]

"""A connection that waits for a request's head, but not for ever."""

import asyncio
from typing import Any

from uvicorn.protocols.http.h11_impl import H11Protocol, RequestResponseCycle

HEAD_WITHIN_S = 10.0
"""Our choice: a browser on this computer sends its head in a few milliseconds."""

TOO_LATE = (
    b"HTTP/1.1 408 Request Timeout\r\ncontent-type: text/plain; charset=utf-8\r\n"
    b"content-length: 46\r\nconnection: close\r\n\r\nThe request did not come to an end; ask again."
)


class PatientHttp(H11Protocol):
    """Closes a connection whose request's head was begun and did not come whole in time."""

    _late: asyncio.TimerHandle | None = None
    _is_websocket = False

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """Begin to wait for the first head."""
        super().connection_made(transport)
        self._wait()

    def data_received(self, data: bytes) -> None:
        """Wait on while a head is incomplete, no longer once it is."""
        super().data_received(data)
        cycle: RequestResponseCycle | None = self.cycle
        if cycle is not None and not cycle.response_complete:
            self._wait_no_more()
        elif self._late is None and not self._is_websocket and not self.transport.is_closing():
            self._wait()

    def handle_websocket_upgrade(self, event: Any) -> None:  # noqa: ANN401  h11's
        """A websocket's head has come; it stays open as long as it is used."""
        self._is_websocket = True
        self._wait_no_more()
        super().handle_websocket_upgrade(event)

    def on_response_complete(self) -> None:
        """The next head is waited for as long as a connection is kept for it."""
        super().on_response_complete()
        self._wait_no_more()

    def connection_lost(self, exc: Exception | None) -> None:
        """Nothing is waited for any more."""
        self._wait_no_more()
        super().connection_lost(exc)

    def _wait(self) -> None:
        self._late = self.loop.call_later(HEAD_WITHIN_S, self._end)

    def _wait_no_more(self) -> None:
        if self._late is not None:
            self._late.cancel()
            self._late = None

    def _end(self) -> None:
        self._late = None
        if not self.transport.is_closing():
            self.transport.write(TOO_LATE)
            self.transport.close()


__all__ = ["HEAD_WITHIN_S", "PatientHttp"]

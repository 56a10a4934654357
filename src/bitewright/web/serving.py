"""Serve the pages on this computer until a person ends it."""

import asyncio
import logging
import os
import socket
import sys
import webbrowser
from collections.abc import Callable
from secrets import token_urlsafe
from threading import Thread

import uvicorn

from bitewright.errors import BitewrightError
from bitewright.tasks.long_work import end_all_work
from bitewright.web.application import ServerSettings, create_app
from bitewright.web.front_door import START
from bitewright.web.newest_wish import MOST_FRAME_BYTES
from bitewright.web.pages.bench import lay_first_bench
from bitewright.web.patient_http import PatientHttp

HOST = "127.0.0.1"

TURN_S = 0.001
"""A thread that wants to run waits at most so long for another's Python. [s]

Python's own 5 ms is for work that nobody watches: a film gives way several times while its
drawings are worked out, and would wait so long each time.
"""


class PortTakenError(BitewrightError):
    """The port cannot be had."""

    def __init__(self, port: int, why: str) -> None:
        self.port = port
        super().__init__(
            f"Port {port} of this computer cannot be had ({why}): give another with --port, or 0 "
            "for any free one."
        )


def serve_pages(*, port: int, open_browser: bool, tell: Callable[[str], None]) -> None:
    """Serve on the loopback address until Ctrl-C.

    Parameters
    ----------
    port : int
        0 takes any free one.
    open_browser : bool
        Whether to open the address in the person's browser once the pages are ready.
    tell : callable
        Is told the address, in one line, once the pages are ready.

    Raises
    ------
    PortTakenError
        If another program listens there.
    """
    listening = _listening(port)
    taken = int(listening.getsockname()[1])
    token = token_urlsafe(24)
    app = create_app(ServerSettings(token=token, port=taken))
    config = uvicorn.Config(
        app,
        log_level="warning",
        http=PatientHttp,
        ws="websockets-sansio",
        ws_max_size=MOST_FRAME_BYTES,
        ws_per_message_deflate=False,
        timeout_graceful_shutdown=1,
        server_header=False,
    )
    address = f"http://{HOST}:{taken}{START}?token={token}"

    def ready() -> None:
        tell(address)
        if open_browser:
            webbrowser.open(address)

    sys.setswitchinterval(TURN_S)
    # The first mouth is made while the browser opens; a person who ends early waits for nothing.
    Thread(target=lay_first_bench, name="first-bench", daemon=True).start()
    with listening:
        _run(_Announced(config, ready), listening)


class _Announced(uvicorn.Server):
    """Says when it is ready."""

    def __init__(self, config: uvicorn.Config, ready: Callable[[], None]) -> None:
        super().__init__(config)
        self._ready = ready

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        """Begin to listen, then say so."""
        await super().startup(sockets)
        if self.started:
            await asyncio.to_thread(self._ready)

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        """Stop, long work too; what is still being made is dropped without a word."""
        end_all_work()
        logging.getLogger("uvicorn.error").setLevel(logging.CRITICAL)
        await super().shutdown(sockets)


def _run(server: uvicorn.Server, listening: socket.socket) -> None:
    """Run until Ctrl-C, which ends it without a word of complaint."""
    try:
        server.run(sockets=[listening])
    except KeyboardInterrupt:
        return


def leave_at_once() -> None:
    """End the process without waiting for a film that no one will see, nor to tidy memory.

    What is kept is written whole or not at all, so nothing is left half done.
    """
    sys.stdout.flush()
    sys.stderr.flush()
    os._exit(0)


def _listening(port: int) -> socket.socket:
    made = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        made.bind((HOST, port))
        made.listen(128)
    except (OSError, OverflowError) as error:
        made.close()
        raise PortTakenError(port, getattr(error, "strerror", None) or str(error)) from error
    return made


__all__ = ["PortTakenError", "leave_at_once", "serve_pages"]

"""Serve the pages until a person ends it: on this computer, or beyond it where asked for."""

import asyncio
import logging
import os
import socket
import sys
import webbrowser
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from secrets import token_urlsafe
from threading import Thread

import uvicorn
from fastapi import FastAPI

from bitewright.errors import BitewrightError
from bitewright.tasks.long_work import end_all_work
from bitewright.tasks.serving.certificate import Certificate, given_certificate, made_certificate
from bitewright.tasks.serving.serving_note import close_note, read_note, write_note
from bitewright.web.application import LOOPBACK, ServerSettings, create_app
from bitewright.web.front_door import START
from bitewright.web.newest_wish import MOST_FRAME_BYTES
from bitewright.web.pages.bench import lay_first_bench
from bitewright.web.patient_http import PatientHttp
from bitewright.web.sessions import Sessions

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


@dataclass(frozen=True, slots=True, kw_only=True)
class Listening:
    """Where the pages answer.

    ``address`` None: on this computer only. Else an address of it ("0.0.0.0": all of them), always
    over TLS: by a certificate and key of one's own, or one made here. ``names``: further names that
    browsers may call it by.
    """

    port: int
    address: str | None = None
    certificate: Path | None = None
    key: Path | None = None
    names: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Reached:
    """What is told once the pages are ready: the first link, and the certificate if any."""

    address: str
    certificate: Certificate | None


def serve_pages(at: Listening, *, open_browser: bool, tell: Callable[[Reached], None]) -> None:
    """Serve until Ctrl-C.

    Parameters
    ----------
    at : Listening
        Its port 0 takes any free one.
    open_browser : bool
        Whether to open the address in the person's browser once the pages are ready.
    tell : callable
        Is told where, once the pages are ready.

    Raises
    ------
    PortTakenError
        If another program listens there.
    CertificateError
        If it should answer beyond this computer and there is no certificate.
    """
    hosts = (*LOOPBACK, *_own_names(at)) if at.address else LOOPBACK
    certificate = _certificate(at, hosts)
    listening = _listening(at.address or HOST, at.port)
    port = int(listening.getsockname()[1])
    host = hosts[len(LOOPBACK)] if at.address else HOST
    origin = f"{'https' if certificate else 'http'}://{host}:{port}"
    token, door = token_urlsafe(24), token_urlsafe(32)
    note = {
        "origin": origin,
        "door": door,
        "certificate": str(certificate.file) if certificate else None,
    }
    sessions = Sessions(
        read_note(port).get("sessions", ()),
        keep=lambda kept: write_note(port, note | {"sessions": kept}),
    )
    write_note(port, note | {"sessions": sessions.kept()})
    settings = ServerSettings(
        token=token,
        port=port,
        hosts=hosts,
        sessions=sessions,
        door=door,
        origin=origin,
        is_beyond=at.address is not None,
    )
    reached = Reached(address=f"{origin}{START}?token={token}", certificate=certificate)

    def ready() -> None:
        tell(reached)
        if open_browser:
            webbrowser.open(reached.address)

    sys.setswitchinterval(TURN_S)
    # The first mouth is made while the browser opens; a person who ends early waits for nothing.
    Thread(target=lay_first_bench, name="first-bench", daemon=True).start()
    with listening:
        _run(_Announced(_config(create_app(settings), certificate), ready), listening)
    close_note(port)


def _config(app: FastAPI, certificate: Certificate | None) -> uvicorn.Config:
    return uvicorn.Config(
        app,
        log_level="warning",
        http=PatientHttp,
        ws="websockets-sansio",
        ws_max_size=MOST_FRAME_BYTES,
        ws_per_message_deflate=False,
        timeout_graceful_shutdown=1,
        server_header=False,
        ssl_certfile=str(certificate.file) if certificate else None,
        ssl_keyfile=str(certificate.key) if certificate else None,
    )


def _certificate(at: Listening, hosts: tuple[str, ...]) -> Certificate | None:
    if at.address is None:
        return None
    if at.certificate and at.key:
        return given_certificate(at.certificate, at.key)
    return made_certificate(hosts)


def _own_names(at: Listening) -> tuple[str, ...]:
    """What browsers elsewhere may call this computer, the one for links first."""
    is_any = at.address in {"0.0.0.0", "::"}  # noqa: S104  asked for by the person
    address = _outward_address() if is_any else str(at.address)
    return tuple(dict.fromkeys((*at.names, address, socket.gethostname())))


def _outward_address() -> str:
    """The address that others of the same net see; nothing is sent to find it."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asked:
        try:
            asked.connect(("192.0.2.1", 9))  # an address of nobody: RFC 5737
            return str(asked.getsockname()[0])
        except OSError:
            return socket.gethostname()


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


def _listening(address: str, port: int) -> socket.socket:
    family = socket.AF_INET6 if ":" in address else socket.AF_INET
    made = socket.socket(family, socket.SOCK_STREAM)
    made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        made.bind((address, port))
        made.listen(128)
    except (OSError, OverflowError) as error:
        made.close()
        raise PortTakenError(port, getattr(error, "strerror", None) or str(error)) from error
    return made


__all__ = ["Listening", "PortTakenError", "Reached", "leave_at_once", "serve_pages"]

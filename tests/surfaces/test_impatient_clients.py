"""Clients that send half a request, or go away in the middle of one, over a real socket."""

import asyncio
import socket
import time
from collections.abc import Iterator
from importlib import resources
from threading import Thread
from typing import Any

import pytest
import uvicorn
from websockets.sync.client import connect

from bitewright.web.application import create_app
from bitewright.web.newest_wish import MOST_FRAME_BYTES
from bitewright.web.patient_http import PatientHttp

SOON_S = 0.3
FACE = (resources.files("bitewright.web") / "static" / "face.css").read_bytes()
WHOLE = b"GET /static/face.css HTTP/1.1\r\nhost: 127.0.0.1\r\n\r\n"


@pytest.fixture
def port(monkeypatch: pytest.MonkeyPatch) -> Iterator[int]:
    """Where the pages are served by a thread, with little patience."""
    monkeypatch.setattr("bitewright.web.patient_http.HEAD_WITHIN_S", SOON_S)
    listening = socket.create_server(("127.0.0.1", 0))
    config = uvicorn.Config(
        create_app(),
        log_level="critical",
        http=PatientHttp,
        ws="websockets-sansio",
        ws_max_size=MOST_FRAME_BYTES,
    )
    server = uvicorn.Server(config)
    thread = Thread(target=lambda: server.run(sockets=[listening]), daemon=True)
    thread.start()
    yield int(listening.getsockname()[1])
    server.should_exit = True
    thread.join(10)
    listening.close()


def answered(port: int, *parts: bytes) -> bytes:
    """All that comes until the server closes the connection."""
    with socket.create_connection(("127.0.0.1", port), timeout=20) as sent:
        for part in parts:
            sent.sendall(part)
        told = b""
        while more := sent.recv(65536):
            told += more
    return told


@pytest.mark.parametrize("begun", [b"", b"GET / HT", b"GET / HTTP/1.1\r\nhost: 127.0.0.1\r\n"])
def test_half_a_head_is_not_waited_for_without_end(port: int, begun: bytes) -> None:
    assert answered(port, begun).startswith(b"HTTP/1.1 408")


def test_half_a_second_head_is_not_waited_for_either(port: int) -> None:
    with socket.create_connection(("127.0.0.1", port), timeout=20) as sent:
        sent.sendall(WHOLE)
        told = b""
        while not told.endswith(FACE[-40:]):
            told += sent.recv(65536)
        assert told.startswith(b"HTTP/1.1 200")
        time.sleep(0.05)
        sent.sendall(b"GET / HT")
        assert sent.recv(65536).startswith(b"HTTP/1.1 408")


def test_a_websocket_stays_open_and_refuses_a_frame_without_end(port: int) -> None:
    home = f"http://127.0.0.1:{port}"
    with connect(f"ws://127.0.0.1:{port}/bench/moving/state?view=none", origin=home) as talk:  # type: ignore[arg-type]
        assert "none" in str(talk.recv(timeout=20))
    with connect(f"ws://127.0.0.1:{port}/bench/moving/state", origin=home) as talk:  # type: ignore[arg-type]
        with pytest.raises(TimeoutError):
            talk.recv(timeout=3 * SOON_S)
        talk.send("x" * (MOST_FRAME_BYTES - 1))
        assert "a number `seq`" in str(talk.recv(timeout=30))
        talk.send("x" * (MOST_FRAME_BYTES + 1))
        with pytest.raises(Exception, match="1009"):
            talk.recv(timeout=20)


def test_who_goes_away_during_an_upload_leaves_no_traceback() -> None:
    told: list[Any] = []

    async def receive() -> dict[str, Any]:
        return {"type": "http.disconnect"}

    async def send(message: Any) -> None:
        told.append(message)

    scope = {
        "type": "http",
        "method": "PUT",
        "path": "/light-box/films",
        "raw_path": b"/light-box/films",
        "query_string": b"",
        "headers": [(b"host", b"127.0.0.1"), (b"sec-fetch-site", b"same-origin")],
    }
    asyncio.run(create_app()(scope, receive, send))
    assert [each["status"] for each in told if "status" in each] == [400]

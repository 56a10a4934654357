"""Who gets in, who may write, and how failures are told."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi import FastAPI, WebSocket
from fastapi.testclient import TestClient
from starlette.websockets import WebSocketDisconnect

from bitewright.errors import BitewrightError
from bitewright.keeping.whole_files import FileUnwritableError
from bitewright.web.application import ServerSettings, create_app

HOME = "http://127.0.0.1:8642"
HTML = {"accept": "text/html,application/xhtml+xml"}


def with_trial_routes(app: FastAPI) -> FastAPI:
    """Routes that only show who passes."""

    @app.post("/trial")
    def write() -> dict[str, bool]:
        return {"written": True}

    @app.get("/trial/fault")
    def fault() -> None:
        raise BitewrightError("The size -3 was given, sizes are above 0: give a larger one.")

    @app.get("/trial/file")
    def file() -> None:
        raise FileUnwritableError(Path("/home/somebody/films/box.sqlite"), "the disk is full")

    @app.websocket("/trial/socket")
    async def socket(connection: WebSocket) -> None:
        await connection.accept()
        await connection.send_text("in")
        await connection.close()

    return app


@pytest.fixture
def open_door() -> Iterator[TestClient]:
    with TestClient(with_trial_routes(create_app()), base_url=HOME) as client:
        yield client


@pytest.fixture
def locked() -> Iterator[TestClient]:
    app = with_trial_routes(create_app(ServerSettings(token="once", port=8642)))  # noqa: S106
    with TestClient(app, base_url=HOME) as client:
        yield client


@pytest.mark.parametrize(
    ("headers", "status"),
    [
        ({"sec-fetch-site": "same-origin"}, 200),
        ({"origin": HOME}, 200),
        ({"sec-fetch-site": "cross-site", "origin": "http://evil.example"}, 403),
        ({"sec-fetch-site": "same-site", "origin": "http://127.0.0.1:9"}, 403),
        ({"origin": "http://127.0.0.1:9"}, 403),
        ({"origin": "null"}, 403),
        ({}, 403),
    ],
)
def test_only_our_own_page_may_write(
    open_door: TestClient, headers: dict[str, str], status: int
) -> None:
    assert open_door.post("/trial", headers=headers).status_code == status


def test_only_our_own_page_may_open_a_websocket(open_door: TestClient) -> None:
    url = "ws://127.0.0.1:8642/trial/socket"
    with open_door.websocket_connect(url, headers={"origin": HOME}) as socket:
        assert socket.receive_text() == "in"
    for headers in ({}, {"origin": "http://evil.example"}, {"sec-fetch-site": "cross-site"}):
        with pytest.raises(WebSocketDisconnect), open_door.websocket_connect(url, headers=headers):
            pass


def test_a_name_made_to_point_here_is_refused(open_door: TestClient) -> None:
    assert open_door.get("/bench", headers={"host": "evil.example"}).status_code == 400


@pytest.mark.parametrize("path", ["/bench", "/static/face.css", "/nowhere", "/trial/fault"])
def test_every_answer_carries_the_strict_policy(open_door: TestClient, path: str) -> None:
    headers = open_door.get(path).headers
    assert headers["content-security-policy"].startswith("default-src 'self'; ")
    assert "unsafe" not in headers["content-security-policy"]
    assert headers["x-content-type-options"] == "nosniff"


@pytest.mark.parametrize(
    ("path", "kept"),
    [("/bench", "no-cache"), ("/static/face.css", "no-cache"), ("/light-box/films", "no-store")],
)
def test_a_browser_keeps_pages_and_files_alone(open_door: TestClient, path: str, kept: str) -> None:
    """RFC 9111, 5.2.2: what is stored may be shown unasked when a person goes back."""
    assert open_door.get(path).headers["cache-control"] == kept


def test_the_link_works_once_and_lets_one_browser_in(locked: TestClient) -> None:
    assert locked.get("/bench").status_code == 403
    assert locked.get("/static/face.css").status_code == 200
    assert locked.get("/api/openapi.json").status_code == 403
    assert locked.get("/start?token=guessed").status_code == 403
    welcome = locked.get("/start?token=once", follow_redirects=False)
    assert welcome.status_code == 303
    assert "HttpOnly" in welcome.headers["set-cookie"]
    assert "SameSite=Strict" in welcome.headers["set-cookie"]
    assert locked.get("/bench").status_code == 200
    assert locked.get("/start?token=once", follow_redirects=False).headers["location"] == "/"
    locked.cookies.clear()
    assert locked.get("/start?token=once").status_code == 403


@pytest.mark.parametrize("method", ["HEAD", "OPTIONS", "POST"])
def test_a_link_that_is_only_looked_at_still_works(locked: TestClient, method: str) -> None:
    looked = locked.request(
        method, "/start?token=once", headers={"origin": HOME}, follow_redirects=False
    )
    assert "set-cookie" not in looked.headers
    assert locked.get("/bench").status_code == 403
    assert locked.get("/start?token=once").status_code == 200


def test_a_websocket_without_the_cookie_is_refused(locked: TestClient) -> None:
    url = "ws://127.0.0.1:8642/trial/socket"
    with (
        pytest.raises(WebSocketDisconnect),
        locked.websocket_connect(url, headers={"origin": HOME}),
    ):
        pass


def test_a_mendable_failure_is_one_sentence_as_page_or_json(open_door: TestClient) -> None:
    told = open_door.get("/trial/fault")
    assert told.status_code == 400
    assert told.json() == {
        "format": "bitewright.error/1",
        "error": "The size -3 was given, sizes are above 0: give a larger one.",
    }
    shown = open_door.get("/trial/fault", headers=HTML)
    assert shown.status_code == 400
    assert "The size -3 was given" in shown.text
    assert "not a medical device" in shown.text


def test_a_failure_of_a_file_names_it_and_not_where_it_lies(open_door: TestClient) -> None:
    told = open_door.get("/trial/file").json()["error"]
    assert "The file box.sqlite cannot be written, because the disk is full" in told
    assert "somebody" not in told


def test_an_unknown_address_is_told_with_the_way_back(open_door: TestClient) -> None:
    shown = open_door.get("/nowhere", headers=HTML)
    assert shown.status_code == 404
    assert 'href="/bench"' in shown.text


@pytest.mark.parametrize("path", ["/bench", "/light-box", "/catalogue"])
def test_every_page_names_itself_and_carries_the_caution(open_door: TestClient, path: str) -> None:
    text = open_door.get(path).text
    assert f'href="{path}" aria-current="page"' in text
    assert "not a medical device" in text

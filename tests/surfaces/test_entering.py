"""Links, sessions and what each kind may do; the certificate; the note a server leaves."""

import json
import shutil
import stat
from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from typer.testing import CliRunner

from bitewright.cli.main import app as command_line
from bitewright.tasks.serving.ask_for_link import DOOR_HEADER
from bitewright.tasks.serving.certificate import (
    CertificateError,
    given_certificate,
    made_certificate,
)
from bitewright.tasks.serving.serving_note import (
    NoServerError,
    close_note,
    newest_note,
    read_note,
    serving_folder,
    write_note,
)
from bitewright.web.application import ServerSettings, create_app
from bitewright.web.permissions import may
from bitewright.web.sessions import DAY_S, Kind, Sessions

HOME = "http://127.0.0.1:8642"
OWN = {"origin": HOME}
HTML = {"accept": "text/html,application/xhtml+xml"}
DOOR = "the-notes-own-secret"


@pytest.fixture
def sessions() -> Sessions:
    return Sessions()


@pytest.fixture
def application(sessions: Sessions) -> object:
    settings = ServerSettings(token="once", port=8642, sessions=sessions, door=DOOR)  # noqa: S106
    return create_app(settings)


@pytest.fixture
def browser(application: object) -> Iterator[TestClient]:
    with TestClient(application, base_url=HOME, headers=OWN) as client:  # type: ignore[arg-type]
        yield client


@pytest.fixture
def other(application: object) -> Iterator[TestClient]:
    with TestClient(application, base_url=HOME, headers=OWN) as client:  # type: ignore[arg-type]
        yield client


def entered(browser: TestClient, token: str) -> bool:
    browser.get(f"/start?token={token}", follow_redirects=False)
    return browser.get("/catalogue").status_code == 200


def test_looking_whether_the_address_is_there_does_not_use_it_up(browser: TestClient) -> None:
    assert browser.head("/start?token=once").status_code == 204
    assert entered(browser, "once")


def test_several_browsers_are_in_at_once_each_by_its_own_link(
    browser: TestClient, other: TestClient, sessions: Sessions
) -> None:
    assert entered(browser, "once")
    assert not entered(other, "once")
    assert entered(other, sessions.add_link(Kind.OWN))
    assert browser.get("/catalogue").status_code == 200


def test_the_page_makes_links_and_ends_sessions(browser: TestClient, other: TestClient) -> None:
    entered(browser, "once")
    shown = browser.post("/entering/link", data={"kind": "own"}, headers=HTML).text
    token = shown.partition("/start?token=")[2].partition('"')[0]
    assert entered(other, token)
    (mine, theirs) = sorted(
        browser.app.state.sessions.all(),  # type: ignore[attr-defined]
        key=lambda each: each.since,
    )
    browser.post("/entering/end", data={"name": theirs.name})
    assert other.get("/catalogue").status_code == 403
    ended = browser.post("/entering/end", data={"name": mine.name})
    assert '"storage"' in ended.headers["clear-site-data"]
    assert browser.get("/catalogue").status_code == 403


def test_the_notes_secret_gives_a_link_and_a_wrong_one_none(
    browser: TestClient, other: TestClient
) -> None:
    wrong = browser.post("/entering/links", json={"kind": "own"}, headers={DOOR_HEADER: "guessed"})
    assert wrong.status_code == 403
    right = browser.post("/entering/links", json={"kind": "own"}, headers={DOOR_HEADER: DOOR})
    assert entered(other, right.json()["address"].partition("token=")[2])


def test_a_class_comes_in_by_one_link_and_looks_but_does_not_write(
    browser: TestClient, other: TestClient, sessions: Sessions
) -> None:
    token = sessions.add_link(Kind.CLASS)
    for phone in (browser, other):
        assert entered(phone, token)
        assert phone.get("/light-box/films").status_code == 200
        for method, path in (
            ("PUT", "/light-box/films?label=x"),
            ("DELETE", "/light-box/films/1"),
            ("PUT", "/catalogue/receptors/x"),
            ("POST", "/bench/build/stop"),
            ("POST", "/entering/links"),
            ("GET", "/entering"),
            ("GET", "/log"),
            ("GET", "/audit"),
            ("GET", "/api/openapi.json"),
        ):
            answer = phone.request(method, path)
            assert answer.status_code == 403, path
            assert "look and exercise" in answer.json()["error"]
        page = phone.get("/light-box", headers=HTML).text
        assert 'data-user="class-' in page
        assert "/entering" not in page
    sessions.close_class()
    assert browser.get("/bench").status_code == 403
    assert not entered(other, token)


def test_a_class_may_follow_a_hand_on_the_bench() -> None:
    assert may(Kind.CLASS, None, "/bench/moving/film")
    assert not may(Kind.CLASS, None, "/log/moving")
    assert not may(Kind.CLASS, "GET", "/bench-of-others")


def test_links_and_sessions_do_not_last_for_ever() -> None:
    now = [0.0]
    sessions = Sessions(clock=lambda: now[0])
    late = sessions.add_link(Kind.OWN)
    secret = (sessions.enter(sessions.add_link(Kind.CLASS)) or ("", None))[0]
    assert sessions.of(secret) is not None
    now[0] = 0.6 * DAY_S
    assert sessions.enter(late) is None
    assert sessions.of(secret) is None


def test_who_was_let_in_is_still_in_after_a_restart_and_no_secret_is_kept() -> None:
    kept: list[dict[str, object]] = []
    first = Sessions(keep=lambda now: kept.__setitem__(slice(None), now))
    secret = (first.enter(first.add_link(Kind.OWN)) or ("", None))[0]
    assert secret not in json.dumps(kept)
    assert Sessions(kept).of(secret) is not None
    first.end(first.all()[0].name)
    assert Sessions(kept).of(secret) is None


@pytest.mark.parametrize("origin", ["ftp://127.0.0.1:8642", "https://127.0.0.1:8642"])
def test_the_origins_scheme_counts(origin: str) -> None:
    with TestClient(create_app(), base_url=HOME) as client:
        stop = "/bench/build/stop?view=left-molar&receptor=plate-2"
        assert client.post(stop, headers={"origin": origin}).status_code == 403
        assert client.get("/bench").headers["x-frame-options"] == "DENY"


@pytest.mark.usefixtures("own_folders")
def test_the_note_is_for_its_user_alone_and_is_closed() -> None:
    with pytest.raises(NoServerError, match="bitewright serve"):
        newest_note(None)
    write_note(8642, {"origin": HOME, "door": "d", "sessions": [{"kind": "own"}]})
    file = serving_folder() / "8642.json"
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    assert stat.S_IMODE(serving_folder().stat().st_mode) == 0o700
    assert newest_note(None)["origin"] == HOME
    close_note(8642)
    assert read_note(8642)["sessions"] == [{"kind": "own"}]
    with pytest.raises(NoServerError, match="port 8642"):
        newest_note(8642)
    file.write_text("no note", encoding="utf-8")
    assert read_note(8642) == {}


@pytest.mark.usefixtures("own_folders")
def test_a_link_is_asked_of_a_server_that_is_there() -> None:
    answer = CliRunner().invoke(command_line, ["link"])
    assert answer.exit_code == 1
    assert "No server of yours runs" in str(answer.exception)


@pytest.mark.usefixtures("own_folders")
def test_a_certificate_is_made_once_for_the_names_and_given_ones_are_checked() -> None:
    if shutil.which("openssl") is None:
        pytest.skip("platform: no openssl here")
    made = made_certificate(("127.0.0.1", "localhost"))
    assert made.fingerprint.count(":") == 31
    assert made_certificate(("127.0.0.1", "localhost")) == made
    assert made_certificate(("127.0.0.1", "other")).fingerprint != made.fingerprint
    assert given_certificate(made.file, made.key) == made
    with pytest.raises(CertificateError, match="--certificate"):
        given_certificate(made.key, made.key)


def test_a_certificate_without_a_key_is_refused(tmp_path: Path) -> None:
    answer = CliRunner().invoke(
        command_line, ["serve", "--listen", "127.0.0.1", "--certificate", str(tmp_path / "c.pem")]
    )
    assert answer.exit_code == 1
    assert "go together" in str(answer.exception)

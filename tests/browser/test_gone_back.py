"""A page that the browser kept and shows again when one goes back tells what is so by then."""

import json
from collections.abc import Iterator
from importlib.resources import files

import pytest
from playwright.sync_api import Browser, Error, Page, expect

from tests.browser.conftest import CHROMIUM, FLAGS, Server, Visit, wait_until
from tests.browser.test_gate_signed import lay_visit

SAMPLE = files("bitewright.web") / "static/light_box"
SEND = """([method, to, body]) =>
  fetch(to, { method, body, headers: { "content-type": "application/json" } }).then((r) => r.ok)"""
TELL = "addEventListener('pageshow', (event) => { sessionStorage.shown_again = event.persisted })"


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    running = Server(tmp_path_factory.mktemp("gone-back"))
    yield running
    running.end()


@pytest.fixture(scope="module")
def kept(browser: Browser, served: Server) -> Iterator[Visit]:
    """A window of a browser that keeps pages to go back to, as browsers do outside of tests."""
    opened = browser.browser_type.launch(
        executable_path=str(CHROMIUM),
        args=FLAGS,
        ignore_default_args=["--disable-back-forward-cache"],
    )
    made = Visit(opened.new_context(), served.origin)
    made.page.goto(served.start)
    yield made
    opened.close()
    assert not made.complaints, made.complaints


def away_and(page: Page, then: str, body: dict[str, object] | None = None) -> None:
    """Leave for the light box, change something there by `then`, METHOD and address; go back."""
    method, address = then.split()
    page.evaluate(TELL)
    page.evaluate("sessionStorage.removeItem('shown_again'); location.href = '/light-box'")
    page.wait_for_url("**/light-box")
    sent = None if body is None else json.dumps(body)
    assert page.evaluate(SEND, [method, address, sent])
    page.evaluate("history.back()")
    wait_until(page, lambda: was_shown_again(page))


def was_shown_again(page: Page) -> bool:
    """Whether the browser showed what it had kept; not while that is loaded anew."""
    try:
        return bool(page.evaluate("sessionStorage.shown_again") == "true")
    except Error:
        return False


def test_a_visit_gone_back_to_is_read_anew(kept: Visit, served: Server) -> None:
    page = kept.page
    lay_visit(page, served.origin, "seen")
    page.goto(f"{served.origin}/light-box/visit?visit=seen")
    expect(page.locator(".answer").first).to_contain_text("No film shows")
    films = json.loads(page.evaluate("fetch('/light-box/films').then(r => r.text())"))
    closed = next(film for film in films if film["label"] == "film 0")
    columns = page.locator("thead th")
    before = columns.count()
    away_and(page, f"DELETE /light-box/films/{closed['id']}")
    expect(columns).to_have_count(before - 1)


def test_a_film_filled_into_the_log_is_filled_in_anew(kept: Visit, served: Server) -> None:
    page = kept.page
    made = page.request.put(
        f"{served.origin}/light-box/films?label=sample",
        data=(SAMPLE / "sample.png").read_bytes(),
        headers={"origin": served.origin},
    ).json()
    true = json.loads((SAMPLE / "sample.marks").read_text(encoding="utf-8"))
    marks = {"view": true["view"], "marks": true["marks"]}
    film = f"/light-box/films/{made['id']}"
    told = page.request.put(
        f"{served.origin}{film}/marks",
        data={"version": 0, "marks": marks},
        headers={"origin": served.origin},
    )
    assert told.ok, told.text()
    page.goto(f"{served.origin}/record/log?film={made['id']}")
    expect(page.locator("#said")).to_contain_text("Filled in from the film")
    rejected = page.locator("#entry [name=decision][value=rejected]")
    expect(rejected).not_to_be_checked()
    away_and(page, f"PUT {film}/decision", {"decision": "rejected", "by": "T1"})
    expect(rejected).to_be_checked()

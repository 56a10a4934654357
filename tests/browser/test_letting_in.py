"""Several browsers, a restart, a class on its phones over TLS: with a real server."""

import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.conftest import LAPTOP, Server, Visit
from tests.browser.test_placing import grey, lay

__all__ = ["grey"]
PHONE = {"width": 390, "height": 844}
GAVE_UP = "net::ERR_TOO_MANY_RETRIES"
"""Said by the browser alone, of connections closed while it sent: seen once, on a busy machine."""


@pytest.fixture
def server(tmp_path: Path) -> Iterator[Server]:
    """A server that answers over TLS, at this computer's own address."""
    if shutil.which("openssl") is None:
        pytest.skip("platform: no openssl here")
    running = Server(tmp_path, more=("--listen", "127.0.0.1"))
    yield running
    running.end()


def link(server: Server, *more: str) -> str:
    """What `bitewright link` writes."""
    command = [sys.executable, "-m", "bitewright", "link", *more]
    answer = subprocess.run(  # noqa: S603 - our own command
        command, env=server.environment, capture_output=True, text=True, check=True
    )
    found = re.search(r"https://\S+/start\?token=\S+", answer.stdout)
    assert found is not None, answer.stdout
    return found[0]


def open_in(browser: Browser, server: Server, address: str, size: dict[str, int]) -> Visit:
    context = browser.new_context(viewport=size, ignore_https_errors=True)  # type: ignore[arg-type]
    made = Visit(context, server.origin)
    made.page.goto(address)
    return made


def test_a_class_looks_on_its_phones_while_the_teacher_marks(
    browser: Browser, server: Server, grey: Path
) -> None:
    assert server.origin.startswith("https://")
    teacher = open_in(browser, server, server.start, LAPTOP)
    lay(teacher.go("/light-box"), grey)
    teacher.page.locator("#stage").click()
    expect(teacher.page.locator("#count")).to_contain_text("1 placed")
    address = link(server, "--class")
    phones = [open_in(browser, server, address, PHONE) for _ in range(2)]
    for phone in phones:
        page = phone.go("/light-box")
        expect(page.locator("#marks g.mark")).to_have_count(1)
        expect(page.locator("#next")).to_contain_text("A link for a class shows")
        expect(page.locator("#drop")).to_be_hidden()
        assert phone.findings() == []
        page.locator("#dress").click()
        assert phone.findings() == []
        assert fits(page)
        phone.expected = "403"
        assert page.goto(server.origin + "/entering").status == 403  # type: ignore[union-attr]
        expect(page.locator("main")).to_contain_text("look and exercise")
    other = open_in(browser, server, link(server), LAPTOP)
    expect(other.go("/entering").locator("tbody tr")).to_have_count(4)
    assert other.findings() == []
    other.page.get_by_role("button", name="Close the class").click()
    expect(other.page.locator("tbody tr")).to_have_count(2)
    assert phones[0].page.goto(server.origin + "/bench").status == 403  # type: ignore[union-attr]
    for each in (teacher, other, *phones):
        unforeseen = [line for line in each.complaints if each.expected not in line]
        assert [line for line in unforeseen if GAVE_UP not in line] == []
        each.context.close()


def fits(page: Page) -> bool:
    """Whether nothing has to be scrolled sideways."""
    return bool(page.evaluate("document.documentElement.scrollWidth <= innerWidth"))


def test_a_restart_shuts_nobody_out_and_an_ended_session_is_out(
    browser: Browser, server: Server, tmp_path: Path
) -> None:
    mine = open_in(browser, server, server.start, LAPTOP)
    mine.page.goto("about:blank")
    server.kill()
    again = Server(tmp_path, server.port, ("--listen", "127.0.0.1"))
    page = mine.go("/entering")
    page.get_by_role("button", name="A link for another browser of mine").click()
    expect(page.locator("#address")).to_have_value(re.compile(r"^https://127.0.0.1:\d+/start"))
    assert mine.findings() == []
    page.evaluate("sessionStorage.setItem('bitewright.drafts.own', '{}')")
    page.get_by_role("button", name="End").first.click()
    expect(page.locator("h1")).to_have_text("This session has ended")
    mine.expected = "403"
    assert page.goto(server.origin + "/bench").status == 403  # type: ignore[union-attr]
    assert page.evaluate("sessionStorage.length") == 0
    assert [line for line in mine.complaints if mine.expected not in line] == []
    mine.context.close()
    again.end()

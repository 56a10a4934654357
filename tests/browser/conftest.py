"""A real server, a real browser, and what every page must keep: quiet, at home, for everyone."""

import os
import re
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from time import monotonic
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect, sync_playwright

from tests.shown_codes import codes_in, shown_in_html

HERE = Path(__file__).parent
CHROMIUM = Path(os.environ.get("BITEWRIGHT_CHROMIUM", "/usr/bin/chromium"))
IS_CI = os.environ.get("CI", "").lower() == "true"
FLAGS = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--use-angle=swiftshader",
    "--enable-unsafe-swiftshader",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
LAPTOP = {"width": 1280, "height": 800}
PATIENCE_MS = 90_000
"""How long anything may take to come: other tests may keep every core busy meanwhile."""
PAPER = {"width": 711, "height": 1040}
"""A4 upright within margins of 11 mm, in CSS pixels."""


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Everything in this folder needs a browser."""
    for item in items:
        if HERE in item.path.parents:
            item.add_marker(pytest.mark.browser)


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    if not CHROMIUM.exists():
        reason = f"platform: no Chromium at {CHROMIUM}; name one in BITEWRIGHT_CHROMIUM"
        if IS_CI:
            pytest.fail(reason)
        pytest.skip(reason)
    expect.set_options(timeout=PATIENCE_MS)
    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=str(CHROMIUM), args=FLAGS)
        yield opened
        opened.close()


class Server:
    """`bitewright serve` in a process of its own."""

    def __init__(self, folder: Path, port: int = 0, more: tuple[str, ...] = ()) -> None:
        names = ("XDG_DATA_HOME", "XDG_CONFIG_HOME", "XDG_CACHE_HOME")
        own = {name: str(folder / name.lower()) for name in names}
        self.environment = {**os.environ, **own}
        command = [
            sys.executable,
            "-m",
            "bitewright",
            "serve",
            "--port",
            str(port),
            "--no-browser",
            *more,
        ]
        self.process = subprocess.Popen(  # noqa: S603 - our own command
            command, env=self.environment, stdout=subprocess.PIPE, text=True
        )
        self.start = self._address()
        self.origin = self.start.split("/start")[0]
        self.port = int(self.origin.rpartition(":")[2])

    def _address(self) -> str:
        assert self.process.stdout is not None
        for line in self.process.stdout:
            found = re.search(r"https?://\S+/start\?token=\S+", line)
            if found:
                return found[0]
        raise AssertionError("the server ended without telling its address")

    def kill(self) -> None:
        """End it as a fall of the power would."""
        self.process.kill()
        self.process.wait(PATIENCE_MS / 1000)

    def end(self) -> None:
        self.process.terminate()
        self.process.wait(PATIENCE_MS / 1000)


@pytest.fixture(scope="session")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    running = Server(tmp_path_factory.mktemp("served"))
    yield running
    running.end()


@pytest.fixture(scope="session")
def let_in(browser: Browser, server: Server) -> dict[str, object]:
    """The cookie that the one-time link gives, for every test's own context."""
    context = browser.new_context()
    page = context.new_page()
    page.goto(server.start)
    state = context.storage_state()
    context.close()
    return {"cookies": state["cookies"]}  # every visit is a first one


def wait_until(page: Page, is_so: Callable[[], bool]) -> None:
    """Wait for what no element tells of."""
    last = monotonic() + PATIENCE_MS / 1000
    while not is_so():
        assert monotonic() < last, "it has not come about"
        page.wait_for_timeout(100)


class Visit:
    """One browser window, and everything it said that it should not have said."""

    def __init__(self, context: BrowserContext, origin: str) -> None:
        self.context, self.origin = context, origin
        context.set_default_timeout(PATIENCE_MS)
        self.page: Page = context.new_page()
        self.complaints: list[str] = []
        self.expected = "nothing"
        self.outside: list[str] = []
        self.page.on("console", self._hear)
        self.page.on("pageerror", lambda error: self.complaints.append(str(error)))
        self.page.on("request", lambda request: self._see(request.url))
        self.page.on("websocket", lambda socket: self._see(socket.url))

    def _hear(self, message: object) -> None:
        said = str(getattr(message, "text", message))
        # Software WebGL remarks on its own slowness when a picture is read back.
        if getattr(message, "type", "") in {"error", "warning"} and "GL Driver Message" not in said:
            self.complaints.append(said)

    def _see(self, url: str) -> None:
        parts = urlsplit(url)
        at_home = parts.netloc == urlsplit(self.origin).netloc
        if not at_home and parts.scheme not in {"blob", "data"}:
            self.outside.append(url)

    def go(self, path: str) -> Page:
        self.page.goto(self.origin + path)
        return self.page

    def findings(self) -> list[str]:
        """What axe finds on the page as it stands: rule and element."""
        # Run by the debugger, not by the page, so that the page's own policy stays in force.
        self.page.evaluate((HERE / "axe.min.js").read_text(encoding="utf-8") + "\n;0")
        found = self.page.evaluate("axe.run(document, {resultTypes: ['violations']})")
        return [
            f"{rule['id']}: {node['target']} {node['failureSummary']}"
            for rule in found["violations"]
            for node in rule["nodes"]
        ]

    def codes(self) -> list[str]:
        """Codes that the page as it stands shows in place of titles."""
        return codes_in(shown_in_html(self.page.content()))


SPILLING = """() => [...document.querySelectorAll(".panel")].flatMap((panel) => {
  const edge = panel.getBoundingClientRect().right + 1;
  return [...panel.querySelectorAll("table, th, td, p, button, select, img, canvas, figcaption")]
    .filter((part) => part.checkVisibility() && !part.closest(".wide") && !part.closest(".stage"))
    .filter((part) => !part.matches(".unseen, .unseen *"))
    .filter((part) => part.getBoundingClientRect().right > edge)
    .map((part) => `${part.tagName} ${part.id} ${part.textContent.slice(0, 30)}`);
})"""


def spilling(page: Page) -> list[str]:
    """What reaches beyond the right edge of the panel it is in."""
    found: list[str] = page.evaluate(SPILLING)
    return found


@pytest.fixture
def visit(browser: Browser, server: Server, let_in: dict[str, object]) -> Iterator[Visit]:
    """A window on the server; afterwards nothing may have complained or gone outside."""
    context = browser.new_context(
        storage_state=let_in,  # type: ignore[arg-type]
        viewport=LAPTOP,
        color_scheme="dark",
    )
    made = Visit(context, server.origin)
    yield made
    context.close()
    unforeseen = [line for line in made.complaints if made.expected not in line]
    assert not unforeseen, unforeseen
    assert not made.outside, made.outside

"""Draw the pages as a person sees them: a laptop in the dark room, a tablet, light dress, paper.

Needs Chromium and the browser tests' libraries. Writes into docs/pictures/.

    python -m builders.page_pictures
"""

import os
import re
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from playwright.sync_api import BrowserContext, Page, sync_playwright

PICTURES = Path(__file__).resolve().parents[1] / "docs" / "pictures"
CHROMIUM = os.environ.get("BITEWRIGHT_CHROMIUM", "/usr/bin/chromium")
FLAGS = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-background-networking"]
TOO_FAR_BACK = "/bench?view=right-premolar&receptor=sensor-2&ring_offset_deg=-9"


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """One picture: where, how large, in which dress, and whether the best aim was asked for."""

    name: str
    path: str = TOO_FAR_BACK
    size: tuple[int, int] = (1280, 800)
    is_light: bool = False
    is_paper: bool = False
    best: bool = False


WANTED = (
    Picture(name="bench"),
    Picture(name="bench-best-aim", best=True),
    Picture(name="bench-tablet", size=(1024, 768), path="/bench?view=left-molar&receptor=plate-2"),
    Picture(name="bench-light", is_light=True),
    Picture(name="catalogue", path="/catalogue"),
    Picture(name="bench-print", is_paper=True, size=(794, 1123), best=True),
)


def main() -> None:
    """Draw every picture and say where."""
    with serving() as start, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        context = browser.new_context(color_scheme="dark")
        context.new_page().goto(start)
        for wanted in WANTED:
            print(f"wrote {draw(context, start.split('/start')[0], wanted)}")
        print(f"wrote {draw_light_box(context, start.split('/start')[0])}")
        browser.close()


def draw_light_box(context: BrowserContext, origin: str) -> Path:
    """The sample film on the light box, marked and explained."""
    page = context.new_page()
    page.set_viewport_size({"width": 1280, "height": 960})
    page.goto(f"{origin}/light-box")
    page.locator("#sample-marked").click()
    page.locator("#over:not([hidden])").wait_for(timeout=90_000)
    page.wait_for_timeout(500)
    path = PICTURES / "light-box.png"
    page.screenshot(path=path)
    return path


@contextmanager
def serving() -> Iterator[str]:
    """A server whose data lie in a folder of its own; gives the address that lets in."""
    with tempfile.TemporaryDirectory() as folder:
        own = dict.fromkeys(("XDG_DATA_HOME", "XDG_CONFIG_HOME", "XDG_CACHE_HOME"), folder)
        process = subprocess.Popen(
            [sys.executable, "-m", "bitewright", "serve", "--port", "0", "--no-browser"],
            env={**os.environ, **own},
            stdout=subprocess.PIPE,
            text=True,
        )
        try:
            lines = iter(process.stdout or ())
            yield next(m[0] for line in lines if (m := re.search(r"http://\S+token=\S+", line)))
        finally:
            process.terminate()
            process.wait(10)


def draw(context: BrowserContext, origin: str, wanted: Picture) -> Path:
    """Open, wait until the film is whole, draw."""
    page = context.new_page()
    page.set_viewport_size({"width": wanted.size[0], "height": wanted.size[1]})
    page.goto(origin + wanted.path)
    page.keyboard.press("Escape")
    if wanted.is_light:
        page.locator("#dress").click()
    if wanted.path.startswith("/bench"):
        rest(page)
    if wanted.best:
        page.locator("#plan").click()
        page.locator("#ring_offset_deg-room").wait_for(timeout=60_000)
        rest(page)
    if wanted.is_paper:
        page.emulate_media(media="print")
    path = PICTURES / f"{wanted.name}.png"
    page.screenshot(path=path)
    if wanted.is_light:
        page.locator("#dress").click()
    page.close()
    return path


def rest(page: Page) -> None:
    """Wait until the whole film of the last setting is on show."""
    for _ in range(2):
        page.locator("#film[data-kind=full]").wait_for(timeout=90_000)
        page.wait_for_timeout(1500)


if __name__ == "__main__":
    main()

"""How the pages follow a hand: frames a second and latency of the bench's film and drawings.

A driver in the page moves the tube's slider at 60 Hz. Every answer carries the wish's number, and
so does what is on show: latency is from the slider's event to the first animation frame in which
its film or drawing is on show. Then eight benches at once, without a browser, at most 30 Hz each.
Server and browser share the machine's cores. Last, the processor time that one step of a hand costs
the server, which a busy machine disturbs least: the least of many short runs.

    python -m benchmarks.web [--seconds 8]
"""

import argparse
import asyncio
import json
import os
import re
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from http.cookiejar import CookieJar
from itertools import count
from pathlib import Path
from statistics import median
from time import perf_counter, process_time
from typing import Any
from urllib.request import HTTPCookieProcessor, build_opener

import numpy as np
from playwright.sync_api import Browser, Page, sync_playwright
from websockets.asyncio.client import connect
from websockets.exceptions import ConnectionClosed

from bitewright.files.images import write_image
from bitewright.tasks.bench.bench_documents import Followed
from bitewright.tasks.bench.bench_settings import hand_setting
from bitewright.web.pages.bench import chosen_bench, moving_picture

FLAGS = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--use-angle=swiftshader",
    "--enable-unsafe-swiftshader",
    "--disable-background-networking",
]
CHROMIUM = os.environ.get("BITEWRIGHT_CHROMIUM", "/usr/bin/chromium")
STATION = (
    "view=right-premolar&receptor=sensor-2&holder=ring-holder&tube=rectangular-300&mouth=standard"
)
BENCHES = 8
STEPS, RUNS = 10, 40

DRIVER = """
(seconds) => new Promise((done) => {
  const slider = document.querySelector("[data-name=ring_offset_deg] input[type=range]");
  const film = document.getElementById("film");
  const asked = new Map();
  const seen = { film: [], drawing: [] };
  let last = { film: 0, drawing: 0 }, wishes = 0, value = -20, way = 0.5;
  const began = performance.now();
  const first = Number(film.dataset.wish);
  const move = () => {
    value += way;
    if (Math.abs(value) >= 20) way = -way;
    slider.value = value;
    wishes += 1;
    asked.set(first + wishes, performance.now());
    slider.dispatchEvent(new Event("input", { bubbles: true }));
  };
  const timer = setInterval(move, 1000 / 60);
  const look = (now) => {
    const shown = { film: film.dataset.seq, drawing: document.body.dataset.seq };
    for (const name of ["film", "drawing"]) {
      const seq = Number(shown[name]);
      if (seq <= last[name] || !asked.has(seq)) continue;
      seen[name].push(now - asked.get(seq));
      last[name] = seq;
    }
    if (now - began < seconds * 1000) requestAnimationFrame(look);
    else { clearInterval(timer); done({ seconds: (now - began) / 1000, wishes, ...seen }); }
  };
  requestAnimationFrame(look);
})
"""

COUNT_DRAWN = """
() => {
  window.drawnInSpace = 0;
  const canvas = document.getElementById("space-canvas");
  const seen = new MutationObserver((changes) => { window.drawnInSpace += changes.length; });
  seen.observe(canvas, { attributes: true, attributeFilter: ["data-drawn"] });
}
"""

WINDOW_AND_LEVEL = """
() => {
  const level = document.getElementById("level");
  return Array.from({ length: 40 }, (_, k) => {
    level.value = 30 + k;
    const began = performance.now();
    level.dispatchEvent(new Event("input", { bubbles: true }));
    return performance.now() - began;
  });
}
"""

TIME_DRAG = """
() => {
  window.moves = [];
  let began = 0;
  window.addEventListener("pointermove", () => { began = performance.now(); }, true);
  window.addEventListener("pointermove", () => window.moves.push(performance.now() - began));
}
"""


def main() -> None:
    """Print the figures."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--seconds", type=float, default=8.0)
    seconds = options.parse_args().seconds
    print(f"{os.cpu_count()} cores, load {os.getloadavg()[0]:.1f} at the start")
    with server() as start:
        with sync_playwright() as playwright:
            browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
            cookies = follow_a_hand(browser, start, seconds)
            browser.close()
        origin = start.split("/start")[0]
        pages(origin, cookies)
        asyncio.run(eight_benches(origin, cookies, seconds))
    one_step()


@contextmanager
def server() -> Iterator[str]:
    """Serve; gives the address that lets in."""
    command = [sys.executable, "-m", "bitewright", "serve", "--port", "0", "--no-browser"]
    own = os.environ | {"XDG_DATA_HOME": tempfile.mkdtemp(prefix="light-box-")}
    began = perf_counter()
    process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env=own)  # noqa: S603
    try:
        lines = iter(process.stdout or ())
        address = next(m[0] for line in lines if (m := re.search(r"http://\S+token=\S+", line)))
        print(f"ready after {perf_counter() - began:.1f} s")
        yield address
    finally:
        process.terminate()
        process.wait(10)


def follow_a_hand(browser: Browser, start: str, seconds: float) -> str:
    """Drag in a browser; returns the cookie for others."""
    context = browser.new_context(viewport={"width": 1280, "height": 800})
    page = context.new_page()
    began = perf_counter()
    page.goto(start)
    page.locator("#contacts tbody tr").first.wait_for(timeout=60_000)
    print(f"first visit: drawings and numbers after {perf_counter() - began:.1f} s", end=", ")
    page.locator("#film[data-kind=full]").wait_for(timeout=60_000)
    print(f"whole film after {perf_counter() - began:.1f} s")
    page.keyboard.press("Escape")
    page.wait_for_timeout(3000)
    page.evaluate(DRIVER, seconds)
    tell_rates("while dragging", page.evaluate(DRIVER, seconds))
    page.locator("#space summary").click()
    page.locator("#space-canvas[data-drawn]").wait_for(timeout=60_000)
    page.locator("#space-canvas").scroll_into_view_if_needed()
    page.evaluate(COUNT_DRAWN)
    found = page.evaluate(DRIVER, seconds)
    tell_rates("with space open", found)
    print(f"space while dragging: {page.evaluate('drawnInSpace') / found['seconds']:.1f} a second")
    on_the_light_box(page, start.split("/start", maxsplit=1)[0])
    cookies = "; ".join(f"{c['name']}={c['value']}" for c in context.cookies())
    context.close()
    return cookies


def tell_rates(when: str, found: dict[str, Any]) -> None:
    """Frames a second and latency of film and drawing."""
    for name in ("film", "drawing"):
        times = sorted(found[name])
        print(
            f"{name} {when}: {len(times) / found['seconds']:.1f} a second, latency "
            f"{median(times):.0f} ms median, {times[int(0.95 * len(times))]:.0f} ms at 95%"
        )


def on_the_light_box(page: Page, origin: str) -> None:
    """Window and level, and a dragged mark, on a film of 1.3 million pixels."""
    noise = np.random.default_rng(1).integers(0, 65535, (1000, 1300), dtype=np.uint16)
    with tempfile.TemporaryDirectory() as folder:
        film = Path(folder) / "noise.png"
        write_image(film, noise, pixel_mm=0.03, description="SIMULATED noise")
        page.goto(f"{origin}/light-box")
        page.set_input_files("#files", film)
        page.locator("#places li").wait_for()
    page.locator("#view").select_option("right-premolar")
    page.locator("#next", has_text="the distal edge of 13").wait_for()
    redrawn = sorted(page.evaluate(WINDOW_AND_LEVEL))
    print(
        f"window and level, 1.3 Mpx: {median(redrawn):.1f} ms median, {redrawn[38]:.1f} ms at 95%"
    )
    stage = page.locator("#picture").bounding_box() or {}
    x, y = stage["x"] + 0.5 * stage["width"], stage["y"] + 0.5 * stage["height"]
    page.mouse.click(x, y)
    page.locator("#marks g.mark").wait_for()
    page.evaluate(TIME_DRAG)
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 120, y + 60, steps=60)
    page.mouse.up()
    moved = sorted(page.evaluate("moves"))
    print(f"dragged mark: {median(moved):.1f} ms a move median, {moved[-1]:.1f} ms at most")


def pages(origin: str, cookies: str) -> None:
    """Time each page's own HTML."""
    opener = build_opener(HTTPCookieProcessor(CookieJar()))
    opener.addheaders = [("Cookie", cookies), ("Accept", "text/html")]
    for path in ("/bench", "/light-box", "/catalogue"):
        times = []
        for _ in range(9):
            began = perf_counter()
            with opener.open(origin + path) as answer:
                answer.read()
            times.append(1000.0 * (perf_counter() - began))
        print(f"{path}: {median(times):.0f} ms")


def one_step() -> None:
    """Processor time of the server for one step: what a page is told, and the small film."""
    bench, followed = chosen_bench(), Followed()

    def told(swing_deg: float) -> str:
        setting = hand_setting({"ring_offset_deg": swing_deg})
        return json.dumps(followed.document(bench, setting))

    def filmed(swing_deg: float) -> bytes:
        return moving_picture(bench, {"settings": {"ring_offset_deg": swing_deg}}).tobytes()

    for what, answer in (("words, figures and drawings", told), ("small film", filmed)):
        swings = (0.37 * k % 40.0 - 20.0 for k in count(1))
        size = [len(answer(next(swings))) for _ in range(STEPS)][-1]
        spent = []
        for _ in range(RUNS):
            began = process_time()
            for _ in range(STEPS):
                answer(next(swings))
            spent.append(1000.0 * (process_time() - began) / STEPS)
        print(f"one step, {what}: {min(spent):.1f} ms of processor time, {size} bytes")


async def eight_benches(origin: str, cookies: str, seconds: float) -> None:
    """Several benches at once, each sending wishes at 30 Hz and taking one film at a time."""
    async with asyncio.TaskGroup() as group:
        tasks = [group.create_task(one_bench(origin, cookies, seconds, k)) for k in range(BENCHES)]
    times = sorted(t for task in tasks for t in task.result())
    rates = [len(task.result()) / seconds for task in tasks]
    half = [t for task in tasks for t in task.result()[len(task.result()) // 2 :]]
    print(
        f"{BENCHES} benches at once: {min(rates):.1f} to {max(rates):.1f} films a second, "
        f"latency {1000 * median(times):.0f} ms median, "
        f"{1000 * times[int(0.95 * len(times))]:.0f} ms at 95%, "
        f"{1000 * median(half):.0f} ms median in the second half"
    )


async def one_bench(origin: str, cookies: str, seconds: float, k: int) -> list[float]:
    """Latencies of one bench's films. [s]"""
    address = f"{origin.replace('http', 'ws', 1)}/bench/moving/film?{STATION}"
    times: list[float] = []
    headers = {"Cookie": cookies}
    async with connect(
        address, origin=origin, additional_headers=headers, compression=None
    ) as line:  # type: ignore[arg-type]
        ends = perf_counter() + seconds
        while perf_counter() < ends:
            began = perf_counter()
            swing = 20.0 * ((began * 0.3 + k / BENCHES) % 1.0) - 10.0
            wish: dict[str, Any] = {"seq": len(times) + 1, "settings": {"ring_offset_deg": swing}}
            try:
                await line.send(json.dumps(wish))
                await line.recv()
            except ConnectionClosed:
                break
            times.append(perf_counter() - began)
            await asyncio.sleep(max(0.0, 1 / 30 - (perf_counter() - began)))
    return times


if __name__ == "__main__":
    main()

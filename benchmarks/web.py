"""How the pages follow a hand: frames a second and latency of the bench's film and drawings.

A driver in the page moves the tube's slider at 60 Hz. Every answer carries the wish's number, and
so does what is on show: latency is from the slider's event to the first animation frame in which
its film or drawing is on show. Then eight benches at once, without a browser, at most 30 Hz each.
Server and browser share the machine's cores.

    python benchmarks/web.py [--seconds 8]
"""

import argparse
import asyncio
import json
import os
import re
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from http.cookiejar import CookieJar
from statistics import median
from time import perf_counter
from typing import Any
from urllib.request import HTTPCookieProcessor, build_opener

from playwright.sync_api import Browser, sync_playwright
from websockets.asyncio.client import connect
from websockets.exceptions import ConnectionClosed

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


@contextmanager
def server() -> Iterator[str]:
    """Serve; gives the address that lets in."""
    command = [sys.executable, "-m", "bitewright", "serve", "--port", "0", "--no-browser"]
    began = perf_counter()
    process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)  # noqa: S603
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
    for _ in range(2):
        found = page.evaluate(DRIVER, seconds)
    for name in ("film", "drawing"):
        times = sorted(found[name])
        print(
            f"{name} while dragging: {len(times) / found['seconds']:.1f} a second, latency "
            f"{median(times):.0f} ms median, {times[int(0.95 * len(times))]:.0f} ms at 95%"
        )
    cookies = "; ".join(f"{c['name']}={c['value']}" for c in context.cookies())
    context.close()
    return cookies


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

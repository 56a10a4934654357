"""How much memory the server holds after two thousand drags on the bench and a hundred films.

    python -m benchmarks.memory [--drags 2000] [--films 100]

Films are of 1.3 million pixels, each entered, shown small and whole, and marked. Memory is the
server's resident set as the system tells it (Linux), and its highest. Aim: 700 MB.
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
from io import BytesIO
from pathlib import Path
from urllib.request import HTTPCookieProcessor, OpenerDirector, Request, build_opener

import numpy as np
from PIL import Image
from websockets.asyncio.client import connect

STATION = (
    "view=right-premolar&receptor=sensor-2&holder=ring-holder&tube=rectangular-300&mouth=standard"
)
COLUMNS, ROWS = 1300, 1000
TOLD_EVERY = 500


def main() -> None:
    """Drag, enter films, and tell."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--drags", type=int, default=2000)
    asked.add_argument("--films", type=int, default=100)
    given = asked.parse_args()
    with server() as (process, start):
        opener = build_opener(HTTPCookieProcessor(jar := CookieJar()))
        opener.open(start).read()
        origin = start.split("/start", maxsplit=1)[0]
        opener.addheaders = [("Origin", origin)]
        cookies = "; ".join(f"{cookie.name}={cookie.value}" for cookie in jar)
        tell(process, "at the start")
        asyncio.run(drags(process, origin, cookies, given.drags))
        films(process, opener, origin, given.films)


@contextmanager
def server() -> Iterator[tuple[int, str]]:
    """Serve; gives the process and the address that lets in."""
    command = [sys.executable, "-m", "bitewright", "serve", "--port", "0", "--no-browser"]
    own = os.environ | {"XDG_DATA_HOME": tempfile.mkdtemp(prefix="memory-")}
    process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env=own)  # noqa: S603
    try:
        lines = iter(process.stdout or ())
        address = next(m[0] for line in lines if (m := re.search(r"http://\S+token=\S+", line)))
        yield process.pid, address
    finally:
        process.terminate()
        process.wait(10)


def tell(process: int, when: str) -> None:
    """Resident memory now, and the most there was."""
    told = Path(f"/proc/{process}/status").read_text(encoding="ascii")
    now, most = (int(re.search(rf"{name}:\s+(\d+)", told)[1]) / 1024 for name in ("VmRSS", "VmHWM"))
    print(f"{when}: {now:.0f} MB, at most {most:.0f} MB so far", flush=True)


async def drags(process: int, origin: str, cookies: str, count: int) -> None:
    """Wishes of one bench, each answered by a film."""
    address = f"{origin.replace('http', 'ws', 1)}/bench/moving/film?{STATION}"
    headers = {"Cookie": cookies}
    async with connect(
        address, origin=origin, additional_headers=headers, compression=None, open_timeout=120
    ) as line:  # type: ignore[arg-type]
        for turn in range(1, count + 1):
            swing = 20.0 * (turn * 0.01 % 1.0) - 10.0
            await line.send(json.dumps({"seq": turn, "settings": {"ring_offset_deg": swing}}))
            await line.recv()
            if turn % TOLD_EVERY == 0:
                tell(process, f"after {turn} drags")


def films(process: int, opener: OpenerDirector, origin: str, count: int) -> None:
    """Films entered, shown and marked."""
    draw = np.random.default_rng(1)
    for number in range(1, count + 1):
        file = BytesIO()
        Image.fromarray(draw.integers(0, 65535, (ROWS, COLUMNS)).astype(np.uint16)).save(
            file, "PNG"
        )
        kept = ask(
            opener, "PUT", f"{origin}/light-box/films?label=f{number}&visit=v", file.getvalue()
        )
        place = f"{origin}/light-box/films/{json.loads(kept)['id']}"
        ask(opener, "GET", f"{place}/picture")
        ask(opener, "GET", f"{place}/pixels")
        marks = {"version": 0, "marks": {"view": "right-premolar", "note": f"film {number}"}}
        ask(opener, "PUT", f"{place}/marks", json.dumps(marks).encode())
        ask(opener, "GET", f"{place}/assessment")
        if number % 25 == 0 or number == count:
            tell(process, f"after {number} films")


def ask(opener: OpenerDirector, method: str, address: str, body: bytes | None = None) -> bytes:
    """One request's answer."""
    asked = Request(address, data=body, method=method)  # noqa: S310
    asked.add_header("Content-Type", "application/json")
    with opener.open(asked) as answer:
        return answer.read()


if __name__ == "__main__":
    main()

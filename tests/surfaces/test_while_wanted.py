"""Work that a page no longer waits for stops at its next step; Ctrl-C waits for none."""

import os
import re
import signal
import subprocess
import sys
from collections.abc import Awaitable, Callable, MutableMapping
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from threading import Event
from types import SimpleNamespace
from typing import Any

import anyio
import pytest
from starlette.requests import Request

from bitewright.exposing.exposure import Exposures
from bitewright.film.film_kinds import USUAL, Handling
from bitewright.steps import Begin, StoppedError
from bitewright.tasks.bench.bench import Bench
from bitewright.tasks.plan.set_exposure import HandSetting
from bitewright.web.pages.bench import bench_film, chosen_bench
from bitewright.web.while_wanted import while_wanted

LONGEST_S = 60.0
"""Work that has not begun by then never will: better a failure than a test without an end."""


def request_of(*, gone: anyio.Event) -> Request:
    """A request whose page waits until the event."""
    messages = [{"type": "http.request", "body": b"", "more_body": False}]

    async def receive() -> MutableMapping[str, Any]:
        if messages:
            return messages.pop()
        await gone.wait()
        return {"type": "http.disconnect"}

    return Request({"type": "http", "method": "GET", "headers": []}, receive)


def run_elsewhere(ask: Callable[[], Awaitable[Any]]) -> Any:
    """Run in a thread of its own: a browser under test keeps a loop running in this one."""
    with ThreadPoolExecutor(1) as pool:
        return pool.submit(anyio.run, ask).result()


def test_work_that_is_waited_for_is_done() -> None:
    def work(begin: Begin) -> int:
        begin("one")
        return 3

    async def ask() -> int:
        request = request_of(gone=anyio.Event())
        return await while_wanted(request, "It", work, at_once=anyio.CapacityLimiter(1))

    assert run_elsewhere(ask) == 3


def test_work_stops_at_its_next_step_when_the_page_goes() -> None:
    steps: list[int] = []

    async def ask() -> None:
        gone, started = anyio.Event(), Event()

        def work(begin: Begin) -> None:
            for step in range(100_000):
                begin("step")
                steps.append(step)
                started.set()
                Event().wait(0.001)

        async def go() -> None:
            await anyio.to_thread.run_sync(started.wait, LONGEST_S)
            gone.set()

        async with anyio.create_task_group() as group:
            group.start_soon(go)
            with pytest.raises(StoppedError, match="It was stopped"):
                await while_wanted(
                    request_of(gone=gone), "It", work, at_once=anyio.CapacityLimiter(1)
                )

    run_elsewhere(ask)
    assert 0 < len(steps) < 100_000


def test_a_whole_film_of_the_bench_ends_when_a_new_drag_takes_back_its_wish() -> None:
    bench = chosen_bench()
    bench.films.whole_mouth()
    gone, began = anyio.Event(), Event()
    begun: list[str] = []

    def slow_film(exposure: Exposures, *, handling: Handling, begin: Begin) -> None:
        def slowly(doing: str) -> None:
            begun.append(doing)
            began.set()
            Event().wait(0.02)
            begin(doing)

        bench.films.whole_film(exposure, handling=handling, begin=slowly)

    async def ask() -> None:
        async def go() -> None:
            await anyio.to_thread.run_sync(began.wait, LONGEST_S)
            gone.set()

        films = SimpleNamespace(whole_film=slow_film)
        laid = SimpleNamespace(films=films, filmed=bench.filmed)
        async with anyio.create_task_group() as group:
            group.start_soon(go)
            with pytest.raises(StoppedError, match="The whole film was stopped"):
                await bench_film(request_of(gone=gone), laid, USUAL)

    run_elsewhere(ask)
    assert set(begun) == {"the rays' ways"}, "the film's first stage"


def test_a_bench_that_was_stopped_makes_no_whole_film() -> None:
    laid = chosen_bench()
    bench = Bench(laid.view, laid.station)
    bench.films.whole_mouth()
    bench.films.build.stop()
    with pytest.raises(StoppedError):
        bench.films.whole_film(bench.exposure(HandSetting()).exposure)


def test_ctrl_c_ends_the_server_while_it_builds(tmp_path: Path, no_films_kept: Path) -> None:
    names = ("XDG_DATA_HOME", "XDG_CONFIG_HOME", "XDG_CACHE_HOME")
    own = {name: str(tmp_path / name.lower()) for name in names}
    command = [sys.executable, "-m", "bitewright", "serve", "--port", "0", "--no-browser"]
    with subprocess.Popen(
        command,
        env={**os.environ, **own},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    ) as process:
        assert process.stdout is not None
        assert any(re.search(r"http://\S+token=", line) for line in process.stdout)
        process.send_signal(signal.SIGINT)  # the first mouth has just begun to be built
        rest, complaints = process.communicate(timeout=60)
    assert process.returncode == 0
    assert "Ended." in rest
    assert complaints == ""
    assert list(no_films_kept.rglob("*.part")) == []

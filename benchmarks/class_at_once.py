"""A class at once on the class link: how long an exercise takes to come, and whether all come.

A server of its own makes a set ahead; then so many students, each with a session of their own by
the class's link, go through it in an order of their own with some seconds of looking between: the
exercise with its film, an answer, the film as it would have been; where a set-up is asked for,
five movements and an exposure. Students and server share the machine's cores.

    python -m benchmarks.class_at_once [--students 30] [--looking 4]
"""

import argparse
import os
from collections import defaultdict
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from statistics import median
from time import perf_counter, sleep
from typing import Any

import httpx
import numpy as np

from benchmarks.web import server

KINDS = ["read", "name", "correct", "aim", "decide", "order"]
FORBIDDEN = ("/log", "/audit", "/competence", "/record", "/entering")
"""What a student's link must not reach."""

MOVEMENTS = 5
PATIENCE_S = 600.0
Times = dict[str, list[float]]


def main() -> None:
    """Print the figures."""
    options = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    options.add_argument("--students", type=int, default=30)
    options.add_argument("--looking", type=float, default=4.0, help="Seconds between, on average.")
    given = options.parse_args()
    print(f"{os.cpu_count()} cores, load {os.getloadavg()[0]:.1f} at the start")
    with server() as start:
        origin = start.partition("/start")[0]
        teacher = entered(origin, start)
        asked = {"count": len(KINDS), "seed": 7, "kinds": KINDS}
        address = str(teacher.post("/teach/sets", json=asked).json()["address"])
        began = perf_counter()
        for number in range(len(KINDS)):
            the_exercise(teacher, address, number)
        print(f"a set of {len(KINDS)} made in {perf_counter() - began:.0f} s")
        link = teacher.post("/entering/links", json={"kind": "class"}).json()["address"]
        with ThreadPoolExecutor(given.students) as pool:
            running = [
                pool.submit(one_student, origin, link, address, number, given.looking)
                for number in range(given.students)
            ]
            tell([each.result() for each in running])


def entered(origin: str, link: str) -> httpx.Client:
    """A browser that a link let in."""
    client = httpx.Client(
        base_url=origin, headers={"origin": origin}, timeout=PATIENCE_S, follow_redirects=True
    )
    client.get(link)
    return client


def the_exercise(client: httpx.Client, address: str, number: int) -> dict[str, Any]:
    """An exercise, waited for where it is being made."""
    while True:
        answer = client.get(f"{address}/{number}")
        answer.raise_for_status()
        if answer.status_code != httpx.codes.ACCEPTED:
            return dict(answer.json())


def one_student(origin: str, link: str, address: str, student: int, looking: float) -> Times:
    """One student's way through the set: seconds by what was waited for; errors and reaches."""
    generator = np.random.default_rng([5, student])
    client, took = entered(origin, link), defaultdict[str, list[float]](list)
    for path in FORBIDDEN:
        reached = client.get(path).status_code < httpx.codes.BAD_REQUEST
        took["reached what it must not"] += [0.0] if reached else []
    for number in generator.permutation(len(KINDS)):
        sleep(looking * generator.exponential())
        try:
            for what, seconds in steps(client, address, int(number)):
                took[what].append(seconds)
        except httpx.HTTPError:
            took["errors"].append(0.0)
    client.close()
    return took


def steps(client: httpx.Client, address: str, number: int) -> Iterator[tuple[str, float]]:
    """An exercise looked at and answered, each step with its seconds."""
    place, began = f"{address}/{number}", perf_counter()
    given = the_exercise(client, address, number)
    if "bench" in given:
        yield "exercise", perf_counter() - began
        begins = given["bench"]["begins"]
        for moved in range(MOVEMENTS):
            settings = httpx.QueryParams(settings=_text(begins | {"turn_deg": float(moved)}))
            yield "movement drawn", _timed(lambda: client.get(f"{place}/laid", params=settings))  # noqa: B023
        yield (
            "exposure",
            _timed(lambda: client.post(f"{place}/exposure", json=begins))
            + _timed(lambda: client.get(f"{place}/exposed/1.png")),
        )
        answer: dict[str, Any] = {}
    else:
        client.get(f"{place}/film.png").raise_for_status()
        yield "exercise", perf_counter() - began
        answer = {"chosen": 0}
        if given["kind"] == "order":
            answer = {"order": list(range(len(given["choices"])))}
        elif "drawing" in given:
            answer = {"swing_deg": 4.0, "forward_mm": 0.0}
    yield "answer told", _timed(lambda: client.post(f"{place}/answer", json=answer))
    yield "film as it would have been", _timed(lambda: client.get(f"{place}/best.png"))


def _timed(act: Any) -> float:  # noqa: ANN401  any request
    began = perf_counter()
    act().raise_for_status()
    return perf_counter() - began


def _text(settings: dict[str, Any]) -> str:
    return httpx.Request("POST", "http://here", json=settings).content.decode()


def tell(students: list[Times]) -> None:
    """All students' seconds together."""
    counts = {name: sum(len(each.get(name, ())) for each in students) for name in _OUTCOMES}
    for what in dict.fromkeys(name for each in students for name in each if name not in _OUTCOMES):
        times = sorted(seconds for each in students for seconds in each.get(what, ()))
        print(
            f"{what}: {len(times)} times, {median(times):.2f} s median, "
            f"{times[int(0.95 * (len(times) - 1))]:.2f} s at 95%, {times[-1]:.2f} s at most"
        )
    for name, count in counts.items():
        print(f"{name}: {count}")


_OUTCOMES = ("errors", "reached what it must not")


if __name__ == "__main__":
    main()

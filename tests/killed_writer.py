"""A writer killed in mid-write, again and again: what it had acknowledged must be there."""

import os
import signal
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
from sqlalchemy import select

from bitewright.log.entry import Entry
from bitewright.store.appending import append
from bitewright.store.checking import check_store
from bitewright.store.location import StoreLocation
from bitewright.store.opening import opened_store
from bitewright.store.tables import ENTRY
from tests.stores import exposure

WAIT_S = 0.05


@dataclass(frozen=True, slots=True, kw_only=True)
class KillCount:
    """What came of it, summed over all kills.

    Parameters
    ----------
    kills, acknowledged, lost, doubled, half_written : int
        Entries acknowledged to the writer before it died; of these, those not in the store
        afterwards; keys in it twice; transactions of which only a part is there.
    in_mid_write : int
        Kills after which a transaction had been begun and not acknowledged.
    problems : tuple of str
        From checking the store after the last.
    """

    kills: int
    acknowledged: int
    lost: int
    doubled: int
    half_written: int
    in_mid_write: int
    problems: tuple[str, ...]


def killed_again_and_again(location: StoreLocation, *, times: int, seed: int) -> KillCount:
    """Kill a writer at a random moment, look what is there, let a retry write the rest."""
    draw = np.random.default_rng(seed)
    with opened_store(location, make=True):
        pass
    acknowledged = lost = doubled = half = mid = 0
    for kill in range(times):
        begun, done = killed_while(
            _write_for_ever,
            location,
            kill,
            after=int(draw.integers(4)),
            wait_s=float(draw.uniform(0, WAIT_S)),
        )
        there = set(_keys(location, kill))
        batches = list(_batches(kill, begun))
        lost += sum(entry.key not in there for batch in batches[:done] for entry in batch)
        half += sum(0 < sum(e.key in there for e in batch) < len(batch) for batch in batches)
        acknowledged += sum(len(batch) for batch in batches[:done])
        mid += begun > done
        with opened_store(location) as store:
            for batch in batches:
                with store.writing() as connection:
                    append(connection, batch)
        keys = _keys(location, kill)
        doubled += len(keys) - len(set(keys))
        lost += sum(entry.key not in keys for batch in batches for entry in batch)
    with opened_store(location) as store:
        problems = check_store(store).problems
    return KillCount(
        kills=times,
        acknowledged=acknowledged,
        lost=lost,
        doubled=doubled,
        half_written=half,
        in_mid_write=mid,
        problems=problems,
    )


def killed_while(
    write: Callable[[StoreLocation, int, int], None],
    location: StoreLocation,
    kill: int,
    *,
    after: int,
    wait_s: float,
) -> tuple[int, int]:
    """How many transactions a writer had begun, and how many were acknowledged, when it died.

    The writer says each on the pipe whose number it is given: "b" and "d". It is killed some time
    ``wait_s`` after it has begun and had ``after`` acknowledged, however slow the machine.
    """
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            os.close(reading)
            write(location, kill, writing)
        finally:
            os._exit(1)
    os.close(writing)
    said = os.read(reading, 1)
    while said.count(b"d") < after:
        more = os.read(reading, 1)
        if not more:
            break  # it died by itself, and the counts will tell
        said += more
    time.sleep(wait_s)
    os.kill(child, signal.SIGKILL)
    said += b"".join(iter(lambda: os.read(reading, 1 << 16), b""))
    os.close(reading)
    os.waitpid(child, 0)
    return said.count(b"b"), said.count(b"d")


def _write_for_ever(location: StoreLocation, kill: int, pipe: int) -> None:
    with opened_store(location) as store:
        for batch in _batches(kill, 1_000_000):
            os.write(pipe, b"b")
            with store.writing() as connection:
                append(connection, batch)
            os.write(pipe, b"d")


def _batches(kill: int, count: int) -> Iterator[list[Entry]]:
    """Transactions of one to three hundred entries, the same again for a retry."""
    sizes = np.random.default_rng(kill).integers(1, 300, size=count)
    for number, size in enumerate(sizes.tolist()):
        yield [exposure(f"k{kill}-{number}-{place}") for place in range(size)]


def _keys(location: StoreLocation, kill: int) -> list[str]:
    asked = select(ENTRY.c.key).where(ENTRY.c.key.like(f"k{kill}-%"))
    with opened_store(location) as store, store.reading() as connection:
        return list(connection.execute(asked).scalars())


__all__ = ["KillCount", "killed_again_and_again", "killed_while"]

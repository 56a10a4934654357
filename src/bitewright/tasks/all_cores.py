"""Threads for work on large arrays."""

import os
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager

from bitewright.row_bands import Threads


@contextmanager
def all_cores() -> Iterator[Threads]:
    """Threads on every core."""
    count = max(os.cpu_count() or 1, 1)
    with ThreadPoolExecutor(count) as pool:
        yield Threads(count=count, map=pool.map)


__all__ = ["all_cores"]

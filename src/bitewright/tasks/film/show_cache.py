"""Say what is kept in the cache, or clear it."""

from dataclasses import dataclass
from pathlib import Path

from bitewright.files.film_cache import cache_folder, clear_films, kept_bytes


@dataclass(frozen=True, slots=True, kw_only=True)
class CacheState:
    """What is kept where; ``bytes`` is its size."""

    folder: Path
    count: int
    bytes: int


def cache_state() -> CacheState:
    """What is kept now."""
    count, size = kept_bytes()
    return CacheState(folder=cache_folder(), count=count, bytes=size)


def clear_cache() -> int:
    """Remove everything kept; how many film mouths and pieces that were."""
    return clear_films()


__all__ = ["CacheState", "cache_state", "clear_cache"]

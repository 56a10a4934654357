"""Print what `pip install bitewright` brings: megabytes by package, their sum and their count.

Run ``python -m builders.installed_size`` where Bitewright is installed; name extras to add theirs,
such as ``python -m builders.installed_size web``. Only what Bitewright needs is counted, not what
else lies in the same environment.
"""

import re
import sys
from collections.abc import Iterator
from importlib.metadata import Distribution, PackageNotFoundError, distribution
from importlib.util import cache_from_source
from pathlib import Path

from packaging.requirements import Requirement

NAME = "bitewright"


def main() -> None:
    """Print the table."""
    sizes = installed_sizes(NAME, set(sys.argv[1:]))
    for name, size in sorted(sizes.items(), key=lambda pair: -pair[1]):
        print(f"{size / 1e6:8.1f} MB  {name}")
    print(f"{sum(sizes.values()) / 1e6:8.1f} MB  in {len(sizes)} packages")
    print(f"{len(required(NAME)):8d}     required by {NAME} itself")


def installed_sizes(name: str, extras: set[str]) -> dict[str, int]:
    """Bytes of every package that a package needs, by name; what Python compiled of it counts."""
    found: dict[str, int] = {}
    seen: set[tuple[str, str]] = set()
    waiting = [(name, extra) for extra in ("", *extras)]
    while waiting:
        asked = waiting.pop()
        if asked in seen:
            continue
        seen.add(asked)
        try:
            package = distribution(asked[0])
        except PackageNotFoundError:
            continue  # only for other platforms, or not installed
        found[asked[0]] = _bytes_of(package)
        waiting += _needs(package, asked[1])
    del found[name]
    return found


def required(name: str) -> list[str]:
    """Names of the packages that a package itself requires, extras left out."""
    return [needed for needed, extra in _needs(distribution(name), "") if not extra]


def _needs(package: Distribution, extra: str) -> Iterator[tuple[str, str]]:
    for text in package.requires or ():
        needed = Requirement(text)
        if needed.marker is None or needed.marker.evaluate({"extra": extra}):
            name = re.sub(r"[-_.]+", "-", needed.name).lower()
            for each in ("", *needed.extras):
                yield name, each


def _bytes_of(package: Distribution) -> int:
    files = {Path(str(file.locate())) for file in package.files or ()}
    files |= {Path(cache_from_source(file)) for file in files if file.suffix == ".py"}
    return sum(file.stat().st_size for file in files if file.is_file())


if __name__ == "__main__":
    main()

"""Kill a writer 200 times in mid-write and count what was lost, doubled or half written.

    python -m benchmarks.log_killed --times 200
    python -m benchmarks.log_killed --times 200 --store postgresql://postgres@127.0.0.1/empty

Killing a process is not cutting the power: that a write which was acknowledged also survives that
rests on SQLite's synchronous = FULL or PostgreSQL's own, and on disks that do what they say.
"""

import argparse
import sys
import tempfile
import time
from pathlib import Path

TIMES = 20


def main() -> None:
    """Kill, count, print."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--times", type=int, default=TIMES)
    asked.add_argument("--store", help="an empty PostgreSQL database; a SQLite file if left out")
    asked.add_argument("--seed", type=int, default=1)
    given = asked.parse_args()
    sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
    from bitewright.store.location import store_location  # noqa: PLC0415
    from tests.killed_writer import killed_again_and_again  # noqa: PLC0415

    with tempfile.TemporaryDirectory() as folder:
        location = store_location(given.store or str(Path(folder) / "log.sqlite"))
        started = time.perf_counter()
        count = killed_again_and_again(location, times=given.times, seed=given.seed)
    print(
        f"{'PostgreSQL' if given.store else 'SQLite'}: {count.kills} kills, "
        f"{count.in_mid_write} in mid-write; "
        f"{count.acknowledged} entries acknowledged, {count.lost} lost, "
        f"{count.doubled} doubled, {count.half_written} transactions half written; "
        f"{len(count.problems)} problems found by the check; {time.perf_counter() - started:.0f} s"
    )


if __name__ == "__main__":
    main()

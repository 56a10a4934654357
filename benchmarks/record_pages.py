"""How soon the pages of the log and the audit answer on a record of many exposures.

    python benchmarks/record_pages.py --exposures 1000000

The record is made first, in processes of its own; then every page is asked for as a browser does,
in one server, each several times with the quickest told. Prints figures and judges nothing.
Aim on a quiet machine: 1 s for each of them on a million exposures.
"""

import argparse
import os
import tempfile
import time
from pathlib import Path

import start

EXPOSURES = 20_000
ROUNDS = 5
PAGES = {
    "audit, all": "/record/audit",
    "audit, one view": "/record/audit?view=right-molar",
    "audit, half a year": "/record/audit?since=2025-03-01&until=2025-09-30",
    "audit with people": "/record/audit?people=yes",
    "retakes with people": "/record/audit?people=yes&event=retake",
    "one chart's data": "/record/audit/over-time.csv",
    "log, this day": "/record/log",
    "log, all days": "/record/log/list",
    "log, a point's films": "/record/log/list?view=right-molar&since=2025-03-01&until=2025-03-31",
}


def main() -> None:
    """Make a record, then ask for every page."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--exposures", type=int, default=EXPOSURES)
    asked.add_argument("--rounds", type=int, default=ROUNDS)
    asked.add_argument("--folder", type=Path, help="where a record made before lies, or will")
    given = asked.parse_args()
    with tempfile.TemporaryDirectory() as made:
        folder = given.folder or Path(made)
        os.environ["XDG_CACHE_HOME"] = str(folder / "cache")
        os.environ["BITEWRIGHT_STORE"] = str(folder / "log.sqlite")
        os.environ["BENCH_FOLDER"] = str(folder)
        if not (folder / "log.sqlite").exists():
            start.fill(str(folder), given.exposures)
        tell(given.rounds)


def tell(rounds: int) -> None:
    """The first answer of each page, and the quickest of the others."""
    from fastapi.testclient import TestClient  # noqa: PLC0415  after the folders are known

    from bitewright.web.application import create_app  # noqa: PLC0415

    browser = TestClient(create_app(), base_url="http://localhost")
    print(f"{'':22s} {'first':>8s} {'quickest':>9s} {'processor':>10s}")
    for name, path in PAGES.items():
        walls, works = [], []
        for _ in range(rounds):
            began, worked = time.perf_counter(), time.process_time()
            answer = browser.get(path)
            walls.append(time.perf_counter() - began)
            works.append(time.process_time() - worked)
            answer.raise_for_status()
        print(f"{name:22s} {walls[0]:6.2f} s {min(walls):7.2f} s {min(works):8.2f} s", flush=True)


if __name__ == "__main__":
    main()

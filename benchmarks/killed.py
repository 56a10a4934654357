"""Kill commands and the running server a thousand times: what was lost, doubled, hidden, left over.

    python -m benchmarks.killed --kills 1000 --out killed.jsonl
    python -m benchmarks.killed --kills 1000 --out killed.jsonl --postgresql postgresql://me@host/db
    python -m benchmarks.killed --kills 1000 --out killed.jsonl --processes 8

Half the kills hit commands, half the server with its pages and commands beside it; with a server
named, half of each keep their log in PostgreSQL, each in a fresh database there. Every block of
twenty is told when it is done and written to the file; a later run goes on after the last.

Killing a process is not cutting the power: docs/keeping.md says what that rests on.
"""

import argparse
import json
import os
import sys
import tempfile
import time
from collections import Counter
from concurrent.futures import ProcessPoolExecutor, as_completed
from pathlib import Path

BLOCK = 20
KINDS = ("commands", "server")


def main() -> None:
    """Kill, look, print, and go on where it was stopped."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--kills", type=int, default=2 * BLOCK)
    asked.add_argument("--out", type=Path, help="file of blocks done, one line of JSON each")
    asked.add_argument("--postgresql", help="a server where databases may be made")
    asked.add_argument("--processes", type=int, default=1, help="blocks at once")
    given = asked.parse_args()
    sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
    stores = ("SQLite", "PostgreSQL") if given.postgresql else ("SQLite",)
    done = read(given.out)
    asked_for = [
        (KINDS[seed % 2], stores[seed // 2 % len(stores)], seed)
        for seed in range(-(-given.kills // BLOCK))
    ]
    before = {(each["kind"], each["store"], each["seed"]) for each in done}
    left = [each for each in asked_for if each not in before]
    with ProcessPoolExecutor(given.processes) as pool:
        for made in as_completed(pool.submit(block, *each, given.postgresql) for each in left):
            done.append(made.result())
            print(json.dumps(done[-1]), flush=True)
            if given.out:
                with given.out.open("a", encoding="utf-8") as file:
                    file.write(json.dumps(done[-1]) + "\n")
    tell(done)


def read(out: Path | None) -> list[dict]:
    """Blocks of earlier runs."""
    if out is None or not out.exists():
        return []
    return [json.loads(line) for line in out.read_text(encoding="utf-8").splitlines()]


def block(kind: str, store: str, seed: int, server: str | None) -> dict:
    """Twenty kills in a folder of their own."""
    from builders.keeping_tables import kept_formats  # noqa: PLC0415
    from tests.killed_commands import killed_commands, prepared  # noqa: PLC0415
    from tests.killed_server import killed_server  # noqa: PLC0415
    from tests.stores import SERVER, empty_database  # noqa: PLC0415

    run = {"commands": killed_commands, "server": killed_server}[kind]
    started = time.perf_counter()
    with tempfile.TemporaryDirectory() as folder:
        at = Path(folder) / "in"
        if store == "PostgreSQL":
            os.environ[SERVER] = str(server)
            with empty_database() as address:
                count = run(prepared(at, address), times=BLOCK, seed=seed)
        else:
            count = run(prepared(at), times=BLOCK, seed=seed)
    return {
        "of": kept_formats(),
        "kind": kind,
        "store": store,
        "seed": seed,
        "kills": count.kills,
        "in_work": count.in_work,
        "acknowledged": dict(sorted(count.acknowledged.items())),
        "wrong": count.wrong,
        "seconds": round(time.perf_counter() - started, 1),
    }


def tell(done: list[dict]) -> None:
    """Sums by kind and store."""
    for kind in KINDS:
        for store in ("SQLite", "PostgreSQL"):
            of = [each for each in done if (each["kind"], each["store"]) == (kind, store)]
            acknowledged: Counter[str] = Counter()
            for each in of:
                acknowledged.update(each["acknowledged"])
            if of:
                print(
                    f"{kind}, {store}: {sum(each['kills'] for each in of)} kills, "
                    f"{sum(each['in_work'] for each in of)} in mid-work; "
                    f"{sum(acknowledged.values())} acts acknowledged "
                    f"({', '.join(f'{count} {name}' for name, count in acknowledged.items())}); "
                    f"{sum(len(each['wrong']) for each in of)} wrong"
                )


if __name__ == "__main__":
    main()

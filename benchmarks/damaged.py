"""Flip bytes in a thousand copies of each kind of file: noticed by the check, harmless, or worse.

    python -m benchmarks.damaged --copies 1000 --out damaged.jsonl
    python -m benchmarks.damaged --copies 1000 --out damaged.jsonl --processes 8

Kinds: the store, the films beside it, the columns in the cache, a backup, the light box and its
pictures, each with one to four bytes flipped. The check and five commands (list, show, audit,
export, names) are run on each copy; a backup is restored; of a light box every film is shown. Every
block of twenty-five is told when it is done and written to the file; a later run goes on after the
last.
"""

import argparse
import json
import sys
import tempfile
from collections import Counter
from concurrent.futures import ProcessPoolExecutor, as_completed
from pathlib import Path

BLOCK = 25


def main() -> None:
    """Flip, look, print, and go on where it was stopped."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--copies", type=int, default=BLOCK, help="of each kind")
    asked.add_argument("--out", type=Path, help="file of blocks done, one line of JSON each")
    asked.add_argument("--processes", type=int, default=1, help="blocks at once")
    given = asked.parse_args()
    sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
    from tests.damaged_copies import KINDS, made_sound  # noqa: PLC0415

    lines = given.out.read_text("utf-8").splitlines() if given.out and given.out.exists() else []
    done = [json.loads(line) for line in lines]
    before = {(each["kind"], each["first"]) for each in done}
    asked_for = [(kind, first) for first in range(0, given.copies, BLOCK) for kind in KINDS]
    left = [each for each in asked_for if each not in before]
    with tempfile.TemporaryDirectory() as folder, ProcessPoolExecutor(given.processes) as pool:
        sound = made_sound(Path(folder) / "sound")
        for made in as_completed(pool.submit(block, sound, *each) for each in left):
            done.append(made.result())
            print(json.dumps(done[-1]), flush=True)
            if given.out:
                with given.out.open("a", encoding="utf-8") as file:
                    file.write(json.dumps(done[-1]) + "\n")
    tell(done)


def block(sound: object, kind: str, first: int) -> dict:
    """Twenty-five copies."""
    from builders.keeping_tables import kept_formats  # noqa: PLC0415
    from tests.damaged_copies import (  # noqa: PLC0415
        Outcome,
        damaged_copy,
        outcome,
        snapshot_always,
    )

    snapshot_always()
    found: Counter[str] = Counter()
    bad = []
    for seed in range(first, first + BLOCK):
        with tempfile.TemporaryDirectory() as folder:
            copy = damaged_copy(sound, kind, seed, Path(folder) / "copy")
            what, said = outcome(copy, kind)
        found[what.value] += 1
        if what in {Outcome.WRONG, Outcome.TRACEBACK}:
            bad.append(f"{seed}: {said}")
    return {
        "of": kept_formats(),
        "kind": kind,
        "first": first,
        "found": dict(found),
        "bad": bad,
    }


def tell(done: list[dict]) -> None:
    """A table by kind."""
    from tests.damaged_copies import KINDS, Outcome  # noqa: PLC0415

    print("| kind | copies | " + " | ".join(each.value for each in Outcome) + " |")
    print("| --- |" + " ---: |" * (len(Outcome) + 1))
    for kind in KINDS:
        sums: Counter[str] = Counter()
        for each in done:
            if each["kind"] == kind:
                sums.update(each["found"])
        cells = [str(sums[each.value]) for each in Outcome]
        print(f"| {kind} | {sum(sums.values())} | {' | '.join(cells)} |")


if __name__ == "__main__":
    main()

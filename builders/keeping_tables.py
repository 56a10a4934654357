"""Write what docs/keeping.md says of runs of kills, damaged copies, awkward moments and memory.

Run in the top folder of the project, with the files that the benchmarks made:

    python -m benchmarks.killed --kills 1000 --out killed.jsonl --postgresql postgresql://me@host/db
    python -m benchmarks.damaged --copies 1000 --out damaged.jsonl
    python -m benchmarks.awkward > awkward.txt
    python -m benchmarks.memory > memory.txt
    python -m builders.keeping_tables killed.jsonl damaged.jsonl awkward.txt memory.txt

It writes the tables between the comments that mark them, with the formats that the runs were of: a
test fails when any of these is newer.
"""

import argparse
import json
from collections import Counter
from pathlib import Path
from typing import Any

from bitewright.store.columns import COLUMNS_FORMAT
from bitewright.store.light_box import SCHEMA_VERSION as LIGHT_BOX_VERSION
from bitewright.store.tables import SCHEMA_VERSION
from bitewright.tasks.log.back_up_store import BACKUP_FORMAT
from builders.tables_in_pages import write_tables

PAGE = Path(__file__).resolve().parents[1] / "docs" / "keeping.md"
SAID = "written by builders/keeping_tables.py, of {}"
STORES = ("SQLite", "PostgreSQL")
KILLED = {"commands": "commands", "server": "the server, its pages and commands beside it"}
OUTCOMES = {
    "noticed by the check": "noticed by the check, or refused",
    "every answer the same": "every answer the same",
    "told by the command itself": "told by the command itself",
    "another answer without a word": "another answer without a word",
    "traceback": "traceback",
}
DAMAGED = {
    "store": "the store's file",
    "films": "a film beside it",
    "columns": "a column in the cache",
    "backup": "a backup",
    "light box": "the light box's file",
    "pictures": "a film's pixels on the light box",
}


def main() -> None:
    """Write the tables, and say where."""
    asked = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    for name in ("killed", "damaged", "awkward", "memory"):
        asked.add_argument(name, type=Path)
    given = asked.parse_args()
    tables = {
        "kills": kills_table(lines(given.killed)),
        "damage": damage_table(lines(given.damaged)),
        "awkward": "\n".join(line for line in read(given.awkward) if line.startswith("|")),
        "memory": memory_table(read(given.memory)),
    }
    write_tables(PAGE, tables, said=SAID.format(kept_formats()))
    print(f"wrote {PAGE}")


def kept_formats() -> str:
    """Formats of everything that is kept, in one line."""
    return (
        f"log schema {SCHEMA_VERSION}, light box {LIGHT_BOX_VERSION}, {COLUMNS_FORMAT}, "
        f"{BACKUP_FORMAT}"
    )


def read(file: Path) -> list[str]:
    """Lines of a file."""
    return file.read_text(encoding="utf-8").splitlines()


def lines(file: Path) -> list[dict[str, Any]]:
    """Blocks of a run; each must be of the formats there are now."""
    found = [json.loads(line) for line in read(file)]
    old = {each["of"] for each in found} - {kept_formats()}
    if old:
        message = f"{file} is of {old}, and now there is {kept_formats()}: run it again"
        raise SystemExit(message)
    return found


def kills_table(blocks: list[dict[str, Any]]) -> str:
    """Kills by what was killed and where the log was."""
    rows = [
        "| killed | log in | kills | in mid-work | acknowledged | lost, doubled, hidden or left |",
        "| --- | --- | ---: | ---: | --- | ---: |",
    ]
    for kind, words in KILLED.items():
        for store in STORES:
            of = [each for each in blocks if (each["kind"], each["store"]) == (kind, store)]
            if of:
                cells = (words, store, summed(of, "kills"), summed(of, "in_work"), acts(of))
                wrong = sum(len(each["wrong"]) for each in of)
                rows.append(f"| {' | '.join(str(cell) for cell in (*cells, wrong))} |")
    return "\n".join(rows) + "\n"


def summed(blocks: list[dict[str, Any]], name: str) -> int:
    """A figure over all blocks."""
    return sum(each[name] for each in blocks)


def acts(blocks: list[dict[str, Any]]) -> str:
    """What was acknowledged, by kind."""
    counted: Counter[str] = Counter()
    for each in blocks:
        counted.update(each["acknowledged"])
    return ", ".join(f"{name} {count}" for name, count in sorted(counted.items()))


def damage_table(blocks: list[dict[str, Any]]) -> str:
    """Damaged copies by kind and outcome."""
    rows = [
        f"| damaged | copies | {' | '.join(OUTCOMES.values())} |",
        f"| --- |{' ---: |' * (len(OUTCOMES) + 1)}",
    ]
    for kind, words in DAMAGED.items():
        counted: Counter[str] = Counter()
        for each in blocks:
            if each["kind"] == kind:
                counted.update(each["found"])
        cells = [str(counted[name]) for name in OUTCOMES]
        rows.append(f"| {words} | {sum(counted.values())} | {' | '.join(cells)} |")
    return "\n".join(rows) + "\n"


def memory_table(told: list[str]) -> str:
    """The server's memory as it was told."""
    rows = ["| when | memory of the server |", "| --- | --- |"]
    for line in told:
        when, _, figures = line.partition(": ")
        rows.append(f"| {when} | {figures} |")
    return "\n".join(rows) + "\n"


if __name__ == "__main__":
    main()

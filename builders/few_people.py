"""Write what docs/audit-methods.md says of audits of few people, from a run that measured it.

Run ``python -m builders.few_people FILE`` in the top folder of the project, with the file that
``python -m benchmarks.few_people --out FILE`` made. It writes the tables between the comments that
mark them, and `trials/few_people.toml`: what the first records of each question came to. A test
draws these again and fails when the code has changed since.
"""

import argparse
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import tomli_w

from benchmarks.few_people import lines_of
from builders.tables_in_pages import write_tables
from trials.few_people import trials
from trials.few_people_tables import summed, tables

TOP = Path(__file__).resolve().parents[1]
PAGE = TOP / "docs" / "audit-methods.md"
RECORD = TOP / "trials" / "few_people.toml"
SAID = "written by builders/few_people.py"
MOST_PEOPLE = 3
"""Kinds of record that the test draws again have so few people: it takes seconds."""


def main() -> None:
    """Write the page's tables and the first records, and say where."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("file", type=Path, help="lines of benchmarks/few_people.py --out")
    lines = lines_of(parser.parse_args().file)
    write_tables(PAGE, tables(summed(lines)), said=SAID)
    RECORD.write_text(
        "# What the first records came to: written by builders/few_people.py, not by hand.\n\n"
        + tomli_w.dumps({"first_records": first_records(lines)}),
        encoding="utf-8",
    )
    print(f"wrote {PAGE} and {RECORD}")


def first_records(lines: Sequence[dict[str, Any]]) -> list[dict[str, Any]]:
    """The first chunk of the last kind of record of each question that has few people."""
    last = {trial.question: trial.key for trial in trials() if trial.people <= MOST_PEOPLE}
    first = [line for line in lines if line["chunk"] == 0 and line["key"] in last.values()]
    return sorted(first, key=lambda line: str(line["key"]))


if __name__ == "__main__":
    main()

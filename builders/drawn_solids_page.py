"""Write what docs/mouths.md says of drawn mouths one by one, from the run that told it.

Run ``python -m builders.drawn_solids_page FILE`` in the top folder of the project with the file of
``python -m benchmarks.drawn_mouths --mouths 1000 --processes 32 --out FILE``. It writes the tables
between the comments that mark them, and keeps the run's first mouths in
`trials/first_solids.json`: a test draws one of them again and fails when the code has changed.
"""

import argparse
import json
from collections.abc import Sequence
from pathlib import Path

from builders.tables_in_pages import END, START, write_tables
from trials.drawn_solids import agreement_table, key_of, mouths_table
from trials.kept_lines import Line, read_lines

TOP = Path(__file__).resolve().parents[1]
PAGE = TOP / "docs" / "mouths.md"
RECORD = TOP / "trials" / "first_solids.json"
RECORDED = 2
COSTS = ("outlines_ms", "side_s")
SAID = "written by builders/drawn_solids_page.py"

SECTION = """\
## Mouths one by one: valid, closed, solids beside outlines

Drawn by `python -m benchmarks.drawn_mouths`, one side's solid teeth of each. Overlap of solids
and of outlines is compared from the canines back, at the open direction and 6, 8 and 10 degrees to
both sides of it, where it differs most; solid teeth more than outlines is positive. The last rows
take contacts by how far they lie below the nearer top of their two crowns. Mouths that a run did
not reach before its time was up are in no row.

{mouths}

{agreement}
"""


def main() -> None:
    """Write the tables of a run and its first lines, and say where."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("file", type=Path, help="lines of the run's --out")
    write_section(sorted(read_lines(parser.parse_args().file), key=key_of))
    print(f"wrote {PAGE} and {RECORD}")


def write_section(lines: Sequence[Line]) -> None:
    """Write the tables of a run's lines into the page, and keep its first mouths."""
    tables = {"mouths": mouths_table(lines), "agreement": agreement_table(lines)}
    write_tables(PAGE, tables, said=SAID)
    first = [{k: v for k, v in line.items() if k not in COSTS} for line in lines[:RECORDED]]
    RECORD.write_text(json.dumps(first, indent=1, sort_keys=True) + "\n", encoding="utf-8")


def kept_section() -> str:
    """The section with its tables as the page has them now."""
    text = PAGE.read_text(encoding="utf-8")
    tables = {}
    for name in ("mouths", "agreement"):
        start = text.index(START.format(name))
        tables[name] = text[start : text.index(END, start) + len(END)]
    return SECTION.format(**tables)


if __name__ == "__main__":
    main()

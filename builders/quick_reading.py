"""Write what docs/light-box.md says of films read after their first marks.

Run ``python -m builders.quick_reading FILE`` in the top folder of the project, with the file that
``python -m benchmarks.quick_reading --out FILE`` made. It writes the tables of the page, and keeps
what the run found of its first films: a test reads them again and fails when the code has changed.
"""

import argparse
import json
from pathlib import Path

from builders.tables_in_pages import write_tables
from trials.kept_lines import read_lines
from trials.quick_readings import FIRST_FILMS, key_of
from trials.quick_tables import agreement_table, settled_table

TOP = Path(__file__).resolve().parents[1]
PAGE = TOP / "docs" / "light-box.md"
FIRST = 2
SAID = "written by builders/quick_reading.py"


def main() -> None:
    """Write the tables and the first films, and say where."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("file", type=Path, help="lines of benchmarks/quick_reading.py --out")
    lines = sorted(read_lines(parser.parse_args().file), key=key_of)
    tables = {"advice": agreement_table(lines), "settled": settled_table(lines)}
    write_tables(PAGE, tables, said=SAID)
    FIRST_FILMS.write_text(json.dumps(lines[:FIRST], indent=1) + "\n", encoding="utf-8")
    print(f"wrote {PAGE} and {FIRST_FILMS}")


if __name__ == "__main__":
    main()

"""Write what docs/explain-accuracy.md says of causes once the chairside answered.

Run ``python -m builders.chairside_page FILE`` in the top folder of the project, with the file that
``python -m benchmarks.chairside --out FILE`` made. It writes the table of the page, and keeps what
the run found of its first films: a test explains those again and fails when the code has changed
since.
"""

import argparse
import json
from dataclasses import asdict
from pathlib import Path

from builders.tables_in_pages import write_tables
from trials.chairside_answers import answers_table, read_answered

TOP = Path(__file__).resolve().parents[1]
PAGE = TOP / "docs" / "explain-accuracy.md"
FIRST = TOP / "trials" / "first_chairside.json"
RENEWED_BY = "benchmarks/chairside.py and builders/chairside_page.py"
KEPT = (3, 20)
"""Numbers of the films that are explained again, of either set-up."""

SAID = "written by builders/chairside_page.py"


def main() -> None:
    """Write the table and the first films, and say where."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("file", type=Path, help="lines of benchmarks/chairside.py --out")
    films = read_answered(parser.parse_args().file)
    write_tables(PAGE, {"answers": answers_table(films)}, said=SAID)
    first = [asdict(each) for each in films if each.number in KEPT]
    FIRST.write_text(json.dumps(first, indent=1) + "\n", encoding="utf-8")
    print(f"wrote {PAGE} and {FIRST}")


if __name__ == "__main__":
    main()

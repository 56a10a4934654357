"""Write what docs/teach.md says of generated exercises, from a run that judged them.

Run ``python -m builders.exercises FILE`` in the top folder of the project, with the file that
``python -m benchmarks.exercises --places 64 --out FILE`` made. It writes the tables between the
comments that mark them, and `trials/exercises.json`: what was drawn in the first place. A test
draws these again and fails when the code has changed since.
"""

import argparse
import json
from pathlib import Path

from builders.tables_in_pages import write_tables
from trials.exercise_tables import QUICK, exercise_tables
from trials.kept_lines import read_lines

TOP = Path(__file__).resolve().parents[1]
PAGE = TOP / "docs" / "teach.md"
RECORD = TOP / "trials" / "exercises.json"
SAID = "written by builders/exercises.py"


def main() -> None:
    """Write the page's tables and the first place's exercises, and say where."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("file", type=Path, help="lines of benchmarks/exercises.py --out")
    lines = sorted(read_lines(parser.parse_args().file), key=lambda line: int(line["place"]))
    write_tables(
        PAGE, exercise_tables([item for line in lines for item in line["items"]]), said=SAID
    )
    first = [{name: item[name] for name in QUICK if name in item} for item in lines[0]["items"]]
    RECORD.write_text(
        "[\n" + ",\n".join(json.dumps(item) for item in first) + "\n]\n", encoding="utf-8"
    )
    print(f"wrote {PAGE} and {RECORD}")


if __name__ == "__main__":
    main()

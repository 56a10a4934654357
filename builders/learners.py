"""Write what docs/competence.md says of invented learners, from a run that measured it.

Run ``python -m builders.learners FILE`` in the top folder of the project, with the file that
``python -m benchmarks.learners --seed 2 --out FILE`` made. It writes the tables between the
comments that mark them, and `trials/learners.json`: what the first class of each skill came to. A
test draws these again and fails when the code has changed since.
"""

import argparse
import json
from pathlib import Path

from benchmarks.few_people import lines_of
from builders.tables_in_pages import write_tables
from trials.judged_learners import ONE_SET
from trials.learner_tables import learner_tables

TOP = Path(__file__).resolve().parents[1]
PAGE = TOP / "docs" / "competence.md"
RECORD = TOP / "trials" / "learners.json"
SAID = "written by builders/learners.py"


def main() -> None:
    """Write the page's tables and the first classes, and say where."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("file", type=Path, help="lines of benchmarks/learners.py --out")
    lines = lines_of(parser.parse_args().file)
    lines.sort(key=lambda line: (str(line["skill"]), str(line["way"]), int(str(line["number"]))))
    write_tables(PAGE, learner_tables(lines), said=SAID)
    first = [line for line in lines if line["number"] == 0 and line["way"] == ONE_SET]
    RECORD.write_text(
        "[\n" + ",\n".join(json.dumps(line) for line in first) + "\n]\n", encoding="utf-8"
    )
    print(f"wrote {PAGE} and {RECORD}")


if __name__ == "__main__":
    main()

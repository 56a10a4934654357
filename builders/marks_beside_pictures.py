"""Judge which marks are doubted by the picture; write the table of docs/explain-accuracy.md.

    python -m builders.marks_beside_pictures --lines out/beside.jsonl --mouths 24 --processes 2

Films are of other mouths than ``builders.picture_borders`` counted, and of real crowns that no
limit was chosen on. The lines are kept, so that a run that was stopped goes on.
"""

import argparse
import hashlib
from itertools import zip_longest
from pathlib import Path
from typing import Any

from builders.judged_films import judged_films
from builders.tables_in_pages import write_tables
from trials.kept_lines import run_cases
from trials.marks_beside_pictures import marks_judged, pictures_table

TOP = Path(__file__).resolve().parents[1]
PAGE = TOP / "docs" / "explain-accuracy.md"
FIRST_MOUTH = 112
"""The first mouth that was not counted."""

OF_REAL_CROWNS = (*range(-14, -22, -1), -40, -42)
"""Of the population and the atlas; -10 to -13 served to choose limits."""

SOURCES = (
    "src/bitewright/marking/picture_borders.py",
    "src/bitewright/marking/tables/picture_borders.toml",
    "src/bitewright/explanation/doubtful_marks.py",
    "src/bitewright/estimation/left_out.py",
    "src/bitewright/tasks/second_look.py",
    "src/bitewright/network/weights/marks.onnx",
)
SAID = "written by builders/marks_beside_pictures.py"


def fingerprint() -> str:
    """Of the code and table that doubt marks by the picture."""
    digest = hashlib.sha256()
    for path in SOURCES:
        digest.update((TOP / path).read_bytes())
    return digest.hexdigest()[:16]


def judged_mouth(number: int) -> dict[str, Any]:
    """The films of one mouth."""
    return {"mouth": number, "films": [marks_judged(film) for film in judged_films(number)]}


def main() -> None:
    """Judge what is left, and write the table."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--lines", type=Path, required=True)
    parser.add_argument("--mouths", type=int, default=24)
    parser.add_argument("--processes", type=int, default=1)
    given = parser.parse_args()
    drawn = range(FIRST_MOUTH, FIRST_MOUTH + given.mouths)
    lines = run_cases(
        given.lines,
        [each for pair in zip_longest(drawn, OF_REAL_CROWNS) for each in pair if each is not None],
        judged_mouth,
        key=lambda number: number,
        key_of=lambda line: line["mouth"],
        processes=given.processes,
        told=lambda text: print(text, flush=True),
    )
    tables = {}
    for name, real in (("pictures", False), ("pictures of real crowns", True)):
        own = [line for line in lines if (line["mouth"] < 0) is real]
        films = [film for line in own for film in line["films"]]
        said = f"\n\n{len(films)} films of {len(own)} mouths; code and table `{fingerprint()}`."
        tables[name] = pictures_table(films) + said
    write_tables(PAGE, tables, said=SAID)
    print(f"wrote {PAGE}")


if __name__ == "__main__":
    main()

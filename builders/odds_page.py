"""Write what docs/odds.md says of how often plans' odds come true, and what plans are worth.

Run in the top folder of the project, with the files that the benchmarks made, either or both:

    python -m benchmarks.odds_of_plans --mouths 960 --run 1 --processes 32 --out odds.jsonl
    python -m benchmarks.ladders --processes 32 --out ladders.jsonl
    python -m builders.odds_page --odds odds.jsonl --ladders ladders.jsonl

It works out a student's odds as well, half a minute. It writes the tables between the comments that
mark them, and keeps the first mouth of each run: tests make them again and fail when the code has
changed since.
"""

import argparse
import json
from pathlib import Path

from benchmarks.ladders import told
from bitewright.quality.criteria import Question
from bitewright.quality.questions import questions
from builders.school_odds import RECEPTORS, VIEWS, failing
from builders.tables_in_pages import write_tables
from trials.kept_lines import read_lines
from trials.odds_tables import by_group, by_tenth, worth

TOP = Path(__file__).resolve().parents[1]
PAGE = TOP / "docs" / "odds.md"
FIRST = TOP / "trials" / "first_odds.json"
FIRST_LADDER = TOP / "trials" / "first_ladder.json"
SAID = "written by builders/odds_page.py"
RUN = 1
PURPOSES = (Question.ENAMEL, Question.DENTINE, Question.BONE, Question.BOTH)


def main() -> None:
    """Write the tables and the first mouth, and say where."""
    asked = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    asked.add_argument("--odds", type=Path)
    asked.add_argument("--ladders", type=Path)
    given = asked.parse_args()
    if given.odds:
        _write_odds(given.odds)
    if given.ladders:
        _write_ladders(given.ladders)


def _write_ladders(path: Path) -> None:
    kept = sorted(read_lines(path), key=lambda each: (each["number"], each["view"]))
    write_tables(PAGE, {"ladders": told(kept)}, said=SAID)
    FIRST_LADDER.write_text(json.dumps(kept[0], indent=1) + "\n", encoding="utf-8")
    print(f"wrote {PAGE} and {FIRST_LADDER}")


def _write_odds(path: Path) -> None:
    lines = [each for each in read_lines(path) if each["run"] == RUN]
    kept = sorted(lines, key=lambda each: int(each["number"]))
    tables = {"by tenth": by_tenth(kept), "by group": by_group(kept), "worth": worth(kept)}
    tables["student"] = of_student()
    write_tables(PAGE, tables, said=SAID)
    first = {name: value for name, value in kept[0].items() if name != "took_s"}
    FIRST.write_text(json.dumps(first, indent=1) + "\n", encoding="utf-8")
    print(f"wrote {PAGE} and {FIRST}; {len(kept)} mouths")


def of_student() -> str:
    """How often a film of the invented school's unbiased student serves, by purpose."""
    cases = [(receptor, name) for receptor in RECEPTORS for name in VIEWS]
    heads = [f"{receptor}, {name.removeprefix('right-')}" for receptor, name in cases]
    lines = [f"| purpose | {' | '.join(heads)} |", f"| --- |{' ---: |' * len(heads)}"]
    for purpose in PURPOSES:
        serves = [1.0 - failing(*case, (0.0,), purpose)[0] for case in cases]
        cells = " | ".join(f"{share:.0%}" for share in serves)
        lines.append(f"| {questions()[purpose].title} | {cells} |")
    return "\n".join(lines)


if __name__ == "__main__":
    main()

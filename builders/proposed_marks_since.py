"""Films judged before and after a change of rules, side by side, in docs/proposed-marks.md.

    python -m builders.proposed_marks_since --before before.jsonl --now now.jsonl

Both files hold lines as `builders/proposed_marks_page.py` keeps them, of the same films: the first
written by the code before the change, the second by the code that is there. The same network's
films need not be made anew for a change of rules: to make one takes far longer than to judge it.
"""

import argparse
import json
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from builders.judged_films import REAL
from builders.proposed_marks_page import PAGE, fingerprint
from builders.tables_in_pages import write_tables
from trials.planted_proposals import Planted
from trials.proposed_films import EDGE_OFF_MM, figures, sort_of

Line = Mapping[str, Any]


def films_in(path: Path) -> list[dict[str, Any]]:
    """Every film's line, by its mouth's seed and its number."""
    lines = [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()]
    films = [film for mouth in lines for film in mouth["films"]]
    return sorted(films, key=lambda film: (film["seed"], film["number"]))


def looked_at(lines: Sequence[Line], kind: Planted | None = None) -> str:
    """Of how many wrong proposals that were planted a person is made to look, in words."""
    every = [each for line in lines for each in line.get("planted", ())]
    own = [each for each in every if kind is None or each["kind"] == kind.value]
    return f"{sum(each['caught'] for each in own)} of {len(own)}"


def silent_edges(lines: Sequence[Line]) -> tuple[int, int]:
    """How many edges there are, and how many lie off along the row and bear no doubt."""
    edges = [
        (abs(off[0]), name, line["doubted"])
        for line in lines
        if line["refused"] is None
        for name, *off, _, _ in line["errors"]
        if sort_of(name) == "edge" and name not in line["unsure"]
    ]
    silent = [off > EDGE_OFF_MM and name not in doubted for off, name, doubted in edges]
    return len(edges), sum(silent)


def since_table(before: Sequence[Line], now: Sequence[Line]) -> str:
    """Before and now, of our own teeth and of real crowns."""
    real = {each.kind for each in REAL}
    rows = [
        (
            "| films | how many | by rules | doubted whole | a wrong number without a doubt | to "
            "look at one by one, median | to correct, median | of sure places, mean | edges off "
            "without a doubt | planted, looked at | of these, all teeth named one place off |"
        ),
        "| --- | ---: | --- | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: |",
    ]
    for title, is_real in (("our own teeth", False), ("real crowns", True)):
        for rules, lines in (("before", before), ("now", now)):
            own = [line for line in lines if (line["kind"] in real) is is_real]
            if not own:
                continue
            told = figures(own)
            edges, silent = silent_edges(own)
            rows.append(
                f"| {title} | {told['films']} | {rules} | {told['film_doubted']:.1%} | "
                f"{told['numbers_wrong_unflagged']:.1%} | {told['looked_at']:.0f} | "
                f"{told['corrections'][0]:.1f} | {told['sure_corrections'][1]:.1f} | "
                f"{silent} of {edges} | {looked_at(own)} | "
                f"{looked_at(own, Planted.ALL_SHIFTED)} |"
            )
    return "\n".join(rows)


def main() -> None:
    """Write the table."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--before", type=Path, required=True)
    parser.add_argument("--now", type=Path, required=True)
    given = parser.parse_args()
    before, now = films_in(given.before), films_in(given.now)
    if [_key(each) for each in before] != [_key(each) for each in now]:
        parser.error("the two files are not of the same films")
    table = f"{since_table(before, now)}\n\nFingerprint of these rules: `{fingerprint()}`."
    print(table)
    write_tables(PAGE, {"since": table}, said="written by builders/proposed_marks_since.py")


def _key(line: Line) -> tuple[int, int]:
    return line["seed"], line["number"]


if __name__ == "__main__":
    main()

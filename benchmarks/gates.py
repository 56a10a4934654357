"""Whether one further exposure wins what the gate says it would.

Visits as in `benchmarks.visits`, their films with four times the stated slips and marked with
0.15 mm. For each side with something unread the best further exposure is sought, its odds are kept,
and it is made once in the true mouth as the plan says, with the hand's stated slips.

    python -m benchmarks.gates --visits 300 --run 3 --processes 2 --out gates.jsonl

One line a visit as it is made; with ``--out`` a run goes on where it was stopped.
"""

import argparse
import json
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path
from typing import Any

import numpy as np

from benchmarks.visits import (
    FIRST_SEED,
    drawn_visit,
    exposed_film,
    marked_film,
    read_visits,
    truly_read,
)
from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.mouth.numbering import Side
from bitewright.planning.stated_hands import stated_hands
from bitewright.quality.criteria import Question
from bitewright.tasks.catalogue.named import named_equipment
from bitewright.tasks.visit.best_exposure import best_exposure
from bitewright.tasks.visit.mouth_of_visit import mouth_of_visit
from bitewright.visit.gate import Stated, gate
from bitewright.visit.ledger import ledger
from trials.gate_tables import gate_tables

STATED = Stated(purpose="simulated", cause="simulated", change="simulated")
TIMES = 4.0
NOISE_MM = 0.15


def main() -> None:
    """Make what is left to make, and print the tables of all."""
    asked = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    asked.add_argument("--visits", type=int, default=12)
    asked.add_argument("--run", type=int, default=3)
    asked.add_argument("--processes", type=int, default=1)
    asked.add_argument("--out", type=Path)
    given = asked.parse_args()
    kept = read_visits(given.out) if given.out else []
    done = {each["number"] for each in kept if each["run"] == given.run}
    left = [(given.run, number) for number in range(given.visits) if number not in done]
    with ProcessPoolExecutor(given.processes) as pool:
        for made in pool.map(visit_with_gate, left):
            kept.append(made)
            if given.out:
                with given.out.open("a", encoding="utf-8") as file:
                    file.write(json.dumps(made) + "\n")
    print(gate_tables([each for each in kept if each["run"] == given.run]))


def visit_with_gate(which: tuple[int, int]) -> dict[str, Any]:
    """One visit: of each side with something unread what was said, and what came of it."""
    run, number = which
    rng = np.random.default_rng([FIRST_SEED, run, number, 1])
    hand, receptor, mouth, films = drawn_visit(run, number, TIMES, rng)
    marked = [marked_film(of, shown, mouth, receptor, NOISE_MM, rng) for of, shown, _ in films]
    by = named_equipment(
        packaged_catalogue(), receptor=receptor, holder="ring-holder", tube="rectangular-300"
    )
    decisions = []
    for side in Side:
        told = gate(ledger(marked, sides=(side,)), STATED)
        names = [row.name for row in told.unread]
        if not names or not told.is_offered:
            continue
        best = best_exposure(
            told.views,
            names,
            {side: mouth_of_visit(marked, side, by)},
            by,
            stated_hands()[hand].scatter,
            Question.ENAMEL,
        )
        if best is None:
            continue
        further = exposed_film(mouth, best.view, receptor, hand, 1.0, rng, meant=best.plan.setting)
        won = truly_read([further], mouth)
        decisions.append(
            {
                "view": best.view.name,
                "places": {name: round(odd, 4) for name, odd in best.odds.places.items()},
                "all": round(best.odds.all_of_them, 4),
                "won": [name for name in names if won.get(name, False)],
            }
        )
    return {
        "run": run,
        "number": number,
        "hand": hand,
        "films": len(films),
        "decisions": decisions,
    }


if __name__ == "__main__":
    main()

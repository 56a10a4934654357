"""Whether one further exposure wins what the gate says it would, and what other ways would do.

Visits as in `benchmarks.visits`, their films with once, twice or four times the stated slips and
marked with 0.15 mm. For each side with something unread the best further exposure is sought, its
odds are kept, and it is made in the true mouth as the plan says, with the hand's stated slips; then
the gate is asked once more. Beside it, on the same films: nothing more, each film rated N repeated
once, and repeated until it is not rated N, at most as often as at the gate. A repeat is meant as
well as the true mouth allows, which favours the other ways.

    python -m benchmarks.gates --visits 2160 --run 6 --processes 32 --minutes 25 --out gates.jsonl

One line a visit as it is made; with ``--out`` a run goes on where it was stopped. A visit that
fails is told, and tried again when the run goes on.
"""

import argparse
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np

from benchmarks.visits import (
    FIRST_SEED,
    Film,
    drawn_visit,
    exposed_film,
    marked_film,
    truly_read,
)
from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.marking.assess import assess
from bitewright.mouth.mouth import Mouth
from bitewright.mouth.numbering import Side
from bitewright.planning.stated_hands import stated_hands
from bitewright.quality.criteria import Question
from bitewright.tasks.catalogue.named import named_equipment
from bitewright.tasks.rated_by import RatedBy
from bitewright.tasks.visit.best_exposure import best_exposure
from bitewright.tasks.visit.mouth_of_visit import mouth_of_visit
from bitewright.visit.film_evidence import FilmOfVisit
from bitewright.visit.gate import Stated, gate
from bitewright.visit.ledger import ledger
from trials.gate_tables import gate_tables
from trials.kept_lines import run_cases

STATED = Stated(purpose="simulated", cause="simulated", change="simulated")
TIMES = (1.0, 2.0, 4.0)
"""How many times the stated slips a visit's films have, by turns of six visits."""
NOISE_MM = 0.15
MOST_MORE = 2
"""Further exposures of a side at the gate, or of a film by another way, at most."""


def main() -> None:
    """Make what is left to make, and print the tables of all."""
    asked = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    asked.add_argument("--visits", type=int, default=12)
    asked.add_argument("--run", type=int, default=6)
    asked.add_argument("--processes", type=int, default=1)
    asked.add_argument("--minutes", type=float, default=1e6, help="begin no visit after so many")
    asked.add_argument("--out", type=Path)
    given = asked.parse_args()
    lines = run_cases(
        given.out,
        [(given.run, number) for number in range(given.visits)],
        visit_with_gate,
        key=lambda case: case,
        key_of=lambda line: (line["run"], line["number"]),
        processes=given.processes,
        told=lambda text: print(text, flush=True),
        minutes=given.minutes,
    )
    print(gate_tables(lines))


def visit_with_gate(which: tuple[int, int]) -> dict[str, Any]:
    """One visit: what was said at the gate and came of it, and what each way leaves unread."""
    run, number = which
    rng = np.random.default_rng([FIRST_SEED, run, number, 1])
    times = TIMES[number // 6 % len(TIMES)]
    hand, receptor, mouth, films = drawn_visit(run, number, times, rng)
    marked = [marked_film(of, shown, mouth, receptor, NOISE_MM, rng) for of, shown, _ in films]
    chair = Chair(mouth, receptor, hand, rng)
    truth = truly_read(films, mouth)
    needed = [row.name for row in ledger(marked).needed() if row.name in truth]
    decisions, at_gate = chair.at_the_gate(marked)
    once, until_good = chair.repeats(films, marked)
    ways = {"never": [], "gate": at_gate, "once": once, "until-not-n": until_good}
    return {
        "run": run,
        "number": number,
        "hand": hand,
        "times": times,
        "films": len(films),
        "needed": len(needed),
        "decisions": decisions,
        "ways": {
            way: {
                "exposures": len(more),
                "unread": sum(
                    not read
                    for name, read in truly_read([*films, *more], mouth).items()
                    if name in needed
                ),
            }
            for way, more in ways.items()
        },
    }


class Chair:
    """A patient in the chair, with whoever takes the films and what they take them with."""

    def __init__(self, mouth: Mouth, receptor: str, hand: str, rng: np.random.Generator) -> None:
        self.mouth, self.receptor, self.hand, self.rng = mouth, receptor, hand, rng
        self.by = named_equipment(
            packaged_catalogue(), receptor=receptor, holder="ring-holder", tube="rectangular-300"
        )

    def at_the_gate(self, marked: Sequence[FilmOfVisit]) -> tuple[list[dict[str, Any]], list[Film]]:
        """What was said at the gate of each side and won, and the films that were taken more."""
        decisions, taken, known = [], [], list(marked)
        for side, again in ((side, again) for side in Side for again in range(MOST_MORE)):
            told = gate(ledger(known, sides=(side,)), STATED)
            names = [row.name for row in told.unread]
            if not names or not told.is_offered:
                continue
            best = best_exposure(
                told.views,
                names,
                {side: mouth_of_visit(known, side, self.by)},
                self.by,
                stated_hands()[self.hand].scatter,
                Question.ENAMEL,
            )
            if best is None:
                continue
            further = exposed_film(
                self.mouth, best.view, self.receptor, self.hand, 1.0, self.rng, best.plan.setting
            )
            won = truly_read([further], self.mouth)
            decisions.append(
                {
                    "again": again,
                    "repeats": best.view.name in {each.view.name for each in known},
                    "view": best.view.name,
                    "places": {name: round(odd, 4) for name, odd in best.odds.places.items()},
                    "all": round(best.odds.all_of_them, 4),
                    "won": [name for name in names if won.get(name, False)],
                }
            )
            taken.append(further)
            known.append(self._marked(further, f"{side.value} {again}"))
        return decisions, taken

    def repeats(
        self, films: Sequence[Film], marked: Sequence[FilmOfVisit]
    ) -> tuple[list[Film], list[Film]]:
        """Films taken more where each rated N is repeated: once; until none is rated N."""
        once, until_good = [], []
        for film, marks in zip(films, marked, strict=True):
            last = marks
            for again in range(MOST_MORE):
                if not self._is_rated_n(last):
                    break
                further = exposed_film(self.mouth, film[0], self.receptor, self.hand, 1.0, self.rng)
                until_good.append(further)
                once += [further] if again == 0 else []
                last = self._marked(further, f"{marks.name} {again}")
        return once, until_good

    def _marked(self, film: Film, name: str) -> FilmOfVisit:
        of, shown, _ = film
        made = marked_film(of, shown, self.mouth, self.receptor, NOISE_MM, self.rng)
        return replace(made, name=f"further {name}")

    def _is_rated_n(self, film: FilmOfVisit) -> bool:
        rated = assess(
            film.marks, film.view, pixel_mm=film.pixel_mm, receptor=self.by.receptor
        ).rating
        return rated.grade(RatedBy().scheme) == ["N"]


if __name__ == "__main__":
    main()

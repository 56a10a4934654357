"""Choose the few mouths that stand for one that nobody knows when a plan's odds are worked out.

    python -m builders.mouths_for_odds --mouths 240 --processes 2 --out chances.jsonl

Mouths are drawn from the population, half as irregular as its people and half calmer. In each the
plans of the standard mouth are set up, and receptors straight across, by the stated hands: both
bitewings of both sides, a sensor and a plate, two purposes. Sixteen of the mouths are chosen, eight
of a kind, whose mean chances come nearest to those of all. One line a mouth is kept as it is made;
with ``--out`` a run goes on where it was stopped. Other mouths than those judge the odds
(`benchmarks/odds_of_plans.py`).
"""

import argparse
from functools import lru_cache
from itertools import product
from pathlib import Path
from typing import Any

import numpy as np
import tomli_w
from numpy.typing import NDArray

from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.exposing.exposure import Station, station
from bitewright.exposing.seating import nearest_fit_mm
from bitewright.mouth.outlines import Outlines, build_outlines
from bitewright.mouth.population_mouth import Regularity, population_mouth
from bitewright.mouth.standard_mouth import standard_mouth
from bitewright.planning.best_aim import Setting
from bitewright.planning.expected_success import served
from bitewright.planning.plan_by_odds import plan_by_odds
from bitewright.planning.slipped import slipped
from bitewright.planning.stated_hands import MIDDLING, stated_hands
from bitewright.quality.criteria import Question
from bitewright.quality.predicted import asked
from bitewright.quality.views import view
from trials.kept_lines import run_cases

Floats = NDArray[np.float64]

TOP = Path(__file__).resolve().parents[1]
TABLE = TOP / "src" / "bitewright" / "planning" / "tables" / "mouths_for_odds.toml"
HEAD = """\
# Mouths that stand for one that nobody knows when a plan's odds are worked out, by the seeds of
# population mouths: chosen so that plans serve in them as often as in {all} drawn mouths, half as
# irregular as the population's people and half calmer (our choice). Written by
# builders/mouths_for_odds.py: not to be edited by hand.

"""
FIRST_SEED = 30_000
OF_A_KIND = 8
EXPOSURES = 24
SIDES, ZONES = ("right", "left"), ("premolar", "molar")
RECEPTORS, PURPOSES = ("sensor-2", "plate-2"), (Question.ENAMEL, Question.BOTH)
STRAIGHT = Setting(
    forward_mm=0.0, lingual_mm=0.0, turn_deg=0.0, ring_offset_deg=0.0, vertical_deg=0.0
)
ROUNDS = 40


def main() -> None:
    """Work out chances in all mouths, choose, tell how near the chosen come, write the table."""
    by = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    by.add_argument("--mouths", type=int, default=240)
    by.add_argument("--processes", type=int, default=1)
    by.add_argument("--out", type=Path, default=Path("mouths_for_odds.jsonl"))
    given = by.parse_args()
    lines = run_cases(
        given.out,
        list(product(Regularity.__members__, range(FIRST_SEED, FIRST_SEED + given.mouths // 2))),
        chances_in,
        key=lambda case: case,
        key_of=lambda line: (line["kind"], line["seed"]),
        processes=given.processes,
        told=print,
    )
    chances = np.array([line["chances"] for line in lines])
    kinds = np.array([line["kind"] for line in lines])
    chosen = nearest_to_all(chances, kinds)
    off = 100.0 * (chances[chosen].mean(axis=0) - chances.mean(axis=0))
    print(f"off by {np.sqrt((off**2).mean()):.1f} points (root mean square), {abs(off).max():.1f}")
    seeds: dict[str, list[int]] = {}
    for place in chosen:
        seeds.setdefault(kinds[place].lower(), []).append(lines[place]["seed"])
    document = {kind: sorted(each) for kind, each in sorted(seeds.items())}
    TABLE.write_text(HEAD.format(all=len(lines)) + tomli_w.dumps(document), encoding="utf-8")
    print(f"wrote {TABLE}")


def chances_in(case: tuple[str, int]) -> dict[str, Any]:
    """Chances of all set-ups and hands in one drawn mouth."""
    kind, seed = case
    outlines = build_outlines(population_mouth(seed, regularity=Regularity[kind]))
    errors = np.concatenate(
        [
            hand.scatter.draw(np.random.default_rng([seed, place]), EXPOSURES)
            for place, hand in enumerate(stated_hands().values())
        ]
    )
    chances: list[float] = []
    for side, zone, receptor in product(SIDES, ZONES, RECEPTORS):
        at = _station(outlines, f"{side}-{zone}", receptor)
        of = asked(view(f"{side}-{zone}"), at)
        for purpose, setting in product(PURPOSES, (None, STRAIGHT)):
            meant = setting or _planned(zone, receptor, purpose)
            fit = float(nearest_fit_mm(at.seating, meant.placement())[0])
            there = Setting(
                forward_mm=meant.forward_mm,
                lingual_mm=fit,
                turn_deg=meant.turn_deg,
                ring_offset_deg=meant.ring_offset_deg,
                vertical_deg=meant.vertical_deg,
            )
            found = served(slipped(at, there, errors), of, question=purpose)
            serves = ~found.failed.any(axis=1)
            chances += serves.reshape(-1, EXPOSURES).mean(axis=1).round(4).tolist()
    return {"kind": kind, "seed": seed, "chances": chances}


@lru_cache(maxsize=16)
def _planned(zone: str, receptor: str, purpose: Question) -> Setting:
    """The plan of the standard mouth; sides are mirrored, so that one serves both."""
    at = _station(build_outlines(standard_mouth()), f"right-{zone}", receptor)
    hand = stated_hands()[MIDDLING].scatter
    drawn = np.random.default_rng(0)
    found = plan_by_odds(view(f"right-{zone}"), at, hand, generator=drawn, question=purpose)
    return found.plan.setting


def _station(outlines: Outlines, view_name: str, receptor: str) -> Station:
    known = packaged_catalogue()
    return station(
        outlines,
        view(view_name).region,
        known.receptor(receptor),
        known.holder("ring-holder"),
        known.tube("rectangular-300"),
    )


def nearest_to_all(chances: Floats, kinds: NDArray[np.str_]) -> list[int]:
    """Rows whose mean is nearest to that of all (M, C), `OF_A_KIND` of each kind.

    The best single exchange within a kind is made again and again, from several random beginnings.
    """
    wanted = chances.mean(axis=0)
    best: tuple[float, list[int]] = (np.inf, [])
    for start in range(ROUNDS):
        drawn = np.random.default_rng(start)
        rows = [
            int(row)
            for kind in sorted(set(kinds.tolist()))
            for row in drawn.choice(np.flatnonzero(kinds == kind), OF_A_KIND, replace=False)
        ]
        best = min(best, _exchanged(chances, kinds, rows, wanted))
    return best[1]


def _exchanged(
    chances: Floats, kinds: NDArray[np.str_], rows: list[int], wanted: Floats
) -> tuple[float, list[int]]:
    off = _off(chances[rows].sum(axis=0)[None] / len(rows), wanted)[0]
    while True:
        total = chances[rows].sum(axis=0)
        tried: list[tuple[float, int, int]] = []
        for place, row in enumerate(rows):
            others = np.array([r for r in np.flatnonzero(kinds == kinds[row]) if r not in rows])
            each = _off((total - chances[row] + chances[others]) / len(rows), wanted)
            tried.append((float(each.min()), place, int(others[each.argmin()])))
        least, place, other = min(tried)
        if least >= off:
            return float(off), rows
        off, rows = least, [*rows[:place], other, *rows[place + 1 :]]


def _off(means: Floats, wanted: Floats) -> Floats:
    return np.asarray(((means - wanted) ** 2).mean(axis=1))


if __name__ == "__main__":
    main()

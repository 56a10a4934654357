"""Whether the odds stated of plans come true in films of solid teeth, and what plans are worth.

Mouths drawn from the population, as its people and calmer ones by turns. In each a view, a receptor
and a purpose are planned for the mouth itself, and for a mouth nobody knows, for which the standard
one stands. Three stated hands then set up both plans in the mouth, and what became of each exposure
is judged from the silhouettes of solid teeth (`trials.solid_films`). Beside them, without odds: the
best aim in the standard mouth, and a receptor in its usual place, the tube straight across.

    python -m benchmarks.odds_of_plans --mouths 320 --run 1 --processes 2 --out odds.jsonl

One line a mouth as it is made; with ``--out`` a run goes on where it was stopped. A mouth that
could not be judged is told, and tried again when the run goes on. ``--run`` 0 is for tuning, every
other has mouths of its own.
"""

import argparse
import time
from dataclasses import replace
from functools import lru_cache
from pathlib import Path
from typing import Any

import numpy as np

from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.errors import BitewrightError
from bitewright.exposing.exposure import Station, fitting, station
from bitewright.exposing.seating import nearest_fit_mm
from bitewright.mouth.mouth import Mouth
from bitewright.mouth.outlines import build_outlines
from bitewright.mouth.population_mouth import Regularity, population_mouth
from bitewright.mouth.standard_mouth import standard_mouth
from bitewright.planning.best_aim import Plan, Setting, best_aim
from bitewright.planning.expected_success import served
from bitewright.planning.odds import odds_of
from bitewright.planning.plan_by_odds import plan_by_odds
from bitewright.planning.slipped import slipped
from bitewright.planning.stated_hands import MIDDLING, stated_hands
from bitewright.quality.criteria import Question
from bitewright.quality.measure import NOT_SEEN, Measurements
from bitewright.quality.predicted import Asked, asked
from bitewright.quality.questions import unreadable_share
from bitewright.quality.rating import Outcome
from bitewright.quality.views import View, view
from trials.kept_lines import run_cases
from trials.odds_tables import odds_tables
from trials.solid_films import SolidCrown, judged_of_solids, solid_crowns

FIRST_SEED, RUN_SEEDS = 800_000, 10_000
VIEWS = ("right-premolar", "right-molar", "left-premolar", "left-molar")
RECEPTORS = ("sensor-2", "plate-2")
PURPOSES = (Question.ENAMEL, Question.BOTH)
KINDS = tuple(Regularity)
SLIPS = 48
"""Exposures of each hand and plan in one mouth."""

STRAIGHT = Setting(
    forward_mm=0.0, lingual_mm=0.0, turn_deg=0.0, ring_offset_deg=0.0, vertical_deg=0.0
)
SEED = 0
"""What a plan is drawn with, as the command does; exposures are drawn with others."""


def main() -> None:
    """Make what is left to make, telling each, and print the tables of all."""
    by = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    by.add_argument("--mouths", type=int, default=8)
    by.add_argument("--run", type=int, default=1)
    by.add_argument("--processes", type=int, default=1)
    by.add_argument("--out", type=Path)
    given = by.parse_args()
    lines = run_cases(
        given.out,
        [(given.run, number) for number in range(given.mouths)],
        mouth_planned_for,
        key=lambda case: case,
        key_of=lambda line: (line["run"], line["number"]),
        processes=given.processes,
        told=lambda text: print(text, flush=True),
    )
    print(odds_tables(lines))


def mouth_planned_for(which: tuple[int, int]) -> dict[str, Any]:
    """One mouth: of each plan and hand what was said, and what became of its exposures."""
    run, number = which
    began = time.process_time()
    of = view(VIEWS[number % 4])
    receptor, purpose = RECEPTORS[number // 4 % 2], PURPOSES[number // 8 % 2]
    kind = KINDS[number // 16 % 2]
    mouth = population_mouth(FIRST_SEED + RUN_SEEDS * run + number, regularity=kind)
    at = _station(mouth, of, receptor)
    wants = asked(of, at)
    crowns = solid_crowns(at, wants)
    lines = []
    for name, setting, odds in _plans(of, at, receptor, purpose):
        for place, (hand, stated) in enumerate(stated_hands().items()):
            errors = stated.scatter.draw(np.random.default_rng([run, number, place]), SLIPS)
            line = _came_of(at, wants, crowns, setting, errors, purpose)
            lines.append({"plan": name, "hand": hand, "said": odds.get(hand)} | line)
    return {
        "run": run,
        "number": number,
        "mouth": mouth.name,
        "kind": kind.name.lower(),
        "view": of.name,
        "receptor": receptor,
        "purpose": purpose.value,
        "contacts": len(wants.wanted.contacts),
        "plans": lines,
        "took_s": round(time.process_time() - began, 1),
    }


def _station(mouth: Mouth, of: View, receptor: str) -> Station:
    known = packaged_catalogue()
    return station(
        build_outlines(mouth),
        of.region,
        known.receptor(receptor),
        known.holder("ring-holder"),
        known.tube("rectangular-300"),
    )


Planned = tuple[str, Setting, dict[str, float]]


def _plans(of: View, at: Station, receptor: str, purpose: Question) -> list[Planned]:
    """Each plan's name, set-up in this mouth, and odds by hand; none where nothing is said."""
    plans: list[Planned] = []
    try:
        true = _by_odds(of, at, purpose)
        fitting(true.exposure)
    except BitewrightError:
        # The command gives no plan here either.
        pass
    else:
        said = {
            each.hand: round(each.in_this_mouth.chance, 4)
            for each in odds_of(true, None, seed=SEED, question=purpose)
        }
        plans.append(("mouth known", true.setting, said))
    unknown, aim, odds = _of_standard(of.name, receptor, purpose)
    return [
        *plans,
        ("mouth not known", _seated(at, unknown), odds),
        ("best aim, mouth not known", _seated(at, aim), {}),
        ("straight across", _seated(at, STRAIGHT), {}),
    ]


@lru_cache(maxsize=64)
def _of_standard(
    view_name: str, receptor: str, purpose: Question
) -> tuple[Setting, Setting, dict[str, float]]:
    """Plan by odds and best aim for the standard mouth, and the odds in any mouth by hand."""
    of = view(view_name)
    at = _station(standard_mouth(), of, receptor)
    plan = _by_odds(of, at, purpose)
    said = {
        each.hand: round(each.in_any_mouth.chance, 4)
        for each in odds_of(plan, None, seed=SEED, question=purpose)
    }
    return plan.setting, best_aim(of, at, question=purpose).setting, said


def _by_odds(of: View, at: Station, purpose: Question) -> Plan:
    hand = stated_hands()[MIDDLING].scatter
    generator = np.random.default_rng(SEED)
    return plan_by_odds(of, at, hand, generator=generator, question=purpose).plan


def _seated(at: Station, setting: Setting) -> Setting:
    """The same set-up as near the teeth as the receptor fits here."""
    return replace(setting, lingual_mm=float(nearest_fit_mm(at.seating, setting.placement())[0]))


def _came_of(
    at: Station,
    of: Asked,
    crowns: dict[int, SolidCrown],
    setting: Setting,
    errors: np.ndarray,
    purpose: Question,
) -> dict[str, Any]:
    """How many exposures served and contacts read in films of solids, and by the outlines."""
    exposures = slipped(at, setting, errors)
    judged = judged_of_solids(exposures, of, crowns, purpose)
    serves = ~(judged.rating.outcomes == Outcome.FAILED).any(axis=1)
    by_outlines = ~served(exposures, of, question=purpose).failed.any(axis=1)
    return {
        "films": len(serves),
        "served": int(serves.sum()),
        "served_by_outlines": int(by_outlines.sum()),
        "alike": int((serves == by_outlines).sum()),
        "read": int(_read(judged.measurements).sum()),
    }


def _read(measured: Measurements) -> np.ndarray:
    """Contacts of each film on the image and readable for caries in enamel, (E,)."""
    on_image = ~np.isin(measured.contact_status, NOT_SEEN)
    shut = measured.enamel_share > unreadable_share(Question.ENAMEL)
    return np.asarray((on_image & ~shut).sum(axis=1))


if __name__ == "__main__":
    main()

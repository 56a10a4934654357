"""Whether a ladder's first working step is the best there is, in hard mouths, against brute force.

Thirty hard mouths are made by hand: shallow, narrow, with gaps, ridges of bone, short, hardly
opening, and mixtures. For each the ladder tells which step to take. Beside it every receptor that
the room has is tried in every holder and format over a grid with every freedom, the likeliest of
each by cost are drawn with the same slips, and both answers are drawn again with others.

    python -m benchmarks.ladders --processes 2 --out ladders.jsonl

One line a mouth and view as it is made; with ``--out`` a run goes on where it was stopped. What
could not be done is told, and tried again when the run goes on.
"""

import argparse
import time
from dataclasses import replace
from itertools import product
from pathlib import Path
from typing import Any

import numpy as np

from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.exposing.exposure import Station, station
from bitewright.exposing.region import Format
from bitewright.mouth.mouth import Mouth
from bitewright.mouth.outlines import build_outlines
from bitewright.mouth.standard_mouth import standard_mouth
from bitewright.planning.best_aim import Setting
from bitewright.planning.expected_success import served
from bitewright.planning.ladder import (
    AS_GOOD,
    WORKS,
    HandsAsked,
    Ladder,
    Owned,
    StepKind,
    borne_by,
    ladder,
)
from bitewright.planning.patient_limits import Patient, PatientLimit, patient
from bitewright.planning.set_up_search import Freedoms, likeliest_set_up, settings_tried
from bitewright.planning.slipped import slipped
from bitewright.planning.stated_hands import MIDDLING, stated_hands
from bitewright.quality.criteria import Question
from bitewright.quality.predicted import asked
from bitewright.quality.views import View, view, view_names
from trials.kept_lines import run_cases

ROOM = ("sensor-2", "sensor-1", "plate-2", "plate-1")
HOLDERS = ("ring-holder", "tab")
NO_TENTH = 0.0005
"""What is said to a tenth of a hundred as nought."""
VIEWS = ("right-premolar", "right-molar")
WEIGHED, AGAIN, KEPT = 200, 3000, 40
P = PatientLimit
LIMITS: tuple[tuple[PatientLimit, ...], ...] = (
    (P.SHALLOW_PALATE,),
    (P.SHALLOW_FLOOR,),
    (P.SHALLOW_PALATE, P.SHALLOW_FLOOR),
    (P.UPPER_TORUS,),
    (P.SHALLOW_PALATE, P.UPPER_TORUS),
    (P.LOWER_TORI,),
    (P.GAGS,),
    (P.PAIN, P.SHALLOW_PALATE),
    (P.SHORT_JAW,),
    (P.GAGS, P.SHALLOW_PALATE),
)
SHAPES = ("usual", "narrow", "gaps")
OPENINGS = (None, None, None, 30.0, None, 24.0, None, 28.0, 22.0, None)


def hard_mouth(number: int) -> tuple[Mouth, Patient]:
    """One of the thirty: limits in a mouth of usual shape, a narrow one, or one with gaps."""
    limits, shape = LIMITS[number % 10], SHAPES[number // 10]
    mouth = standard_mouth()
    if shape == "narrow":
        mouth = replace(
            mouth,
            upper=replace(mouth.upper, width_mm=mouth.upper.width_mm - 6.0),
            lower=replace(mouth.lower, width_mm=mouth.lower.width_mm - 6.0),
        )
    if shape == "gaps":
        lost = (46, 15) if number % 2 else (16, 45)
        teeth = {c: replace(t, present=c not in lost) for c, t in mouth.teeth.items()}
        mouth = replace(mouth, teeth=teeth)
    return replace(mouth, name=f"hard-{number}"), patient(limits, OPENINGS[number % 10])


def main() -> None:
    """Make what is left to make, and print how often and by how much the ladder falls short."""
    given_by = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    given_by.add_argument("--mouths", type=int, default=30)
    given_by.add_argument("--processes", type=int, default=1)
    given_by.add_argument("--out", type=Path)
    given = given_by.parse_args()
    lines = run_cases(
        given.out,
        list(product(range(given.mouths), VIEWS)),
        climbed,
        key=lambda case: case,
        key_of=lambda line: (line["number"], line["view"]),
        processes=given.processes,
        told=lambda text: print(text, flush=True),
    )
    print(told(lines))


def climbed(which: tuple[int, str]) -> dict[str, Any]:
    """The ladder's answer and that of brute force in one mouth and view, drawn with other slips."""
    number, view_name = which
    _, bears = hard_mouth(number)
    of, hand = view(view_name), stated_hands()[MIDDLING].scatter
    began = time.process_time()
    at, owned, found = answered(number, view_name)
    took_s = time.process_time() - began
    again = hand.draw(np.random.default_rng(10_000 + number), AGAIN)
    best, by = 0.0, ""
    for receptor, holder, form in product(owned.receptors, owned.holders, Format):
        other = _in_format(of, form)
        there = borne_by(station(at.outlines, other.region, receptor, holder, at.tube), bears)
        weights = hand.draw(np.random.default_rng(20_000 + number), WEIGHED)
        setting = brute(there, other, bears, weights)
        if setting is not None:
            chance = _chance(there, other, setting, again)
            if chance > best:
                best, by = chance, f"{receptor.name}/{holder.name}/{form.value}"
    take = found.take
    taken = 0.0
    if take is not None and take.plan is not None:
        taken = _chance(take.plan.station, take.step.of, take.plan.setting, again)
    return {
        "number": number,
        "view": view_name,
        "limits": sorted(bears.limits),
        "opens_mm": bears.opens_mm,
        **taken_step(found),
        "taken": round(taken, 4),
        "brute": round(best, 4),
        "brute_by": by,
        "other_view": any(
            each.step.kind is StepKind.OTHER_VIEW and each.chance(MIDDLING) >= WORKS
            for each in found.tried
        ),
        "ladder_s": round(took_s, 2),
    }


def answered(number: int, view_name: str) -> tuple[Station, Owned, Ladder]:
    """Where and with what a view is asked for in a hard mouth, and its ladder."""
    mouth, bears = hard_mouth(number)
    of, known = view(view_name), packaged_catalogue()
    at = station(
        build_outlines(mouth),
        of.region,
        known.receptor("sensor-2"),
        known.holder("ring-holder"),
        known.tube("rectangular-300"),
    )
    owned = Owned(
        receptors=tuple(known.receptor(name) for name in ROOM),
        holders=tuple(known.holder(name) for name in HOLDERS),
    )
    hand = stated_hands()[MIDDLING].scatter
    hands = HandsAsked(scatters={MIDDLING: hand}, decides=MIDDLING, seed=number)
    return at, owned, ladder(of, at, owned, hands, bears=bears)


def taken_step(found: Ladder) -> dict[str, Any]:
    """The step to take, with what, and the chance of the likeliest."""
    take = found.take
    return {
        "take": None if take is None else take.step.kind.value,
        "with": None if take is None else take.step.receptor.name,
        "likeliest": round(found.likeliest.chance(MIDDLING), 4),
    }


def _in_format(of: View, form: Format) -> View:
    wanted = replace(of.region, format=form)
    return next(view(name) for name in view_names() if view(name).region == wanted)


def brute(at: Station, of_view: View, bears: Patient, weights: Any) -> Setting | None:  # noqa: ANN401
    """The likeliest of the cheapest set-ups of a fine grid, and of the search, all free."""
    of = asked(of_view, at)
    every = Freedoms(swing=True)
    flush = Freedoms()
    tried: list[Setting] = []
    for freedoms in (flush, every):
        grid = (
            np.arange(-14.0, 14.1, 2.0),
            np.arange(-6.0, 18.1, 3.0),
            np.array([0.0, 5.0, 10.0, 15.0]),
            np.arange(-16.0, 16.1, 4.0) if freedoms.swing else np.array([0.0]),
            np.array([0.0, 5.0, 10.0]) if freedoms.swing else np.array([0.0]),
        )
        tried += settings_tried(grid, at, of, Question.ENAMEL, bears, most=KEPT)
        found = likeliest_set_up(
            at, of, weights, freedoms=freedoms, question=Question.ENAMEL, bears=bears
        )
        tried += [] if found is None else [found[0]]
    if not tried:
        return None
    return max(tried, key=lambda each: _chance(at, of_view, each, weights))


def _chance(at: Station, of_view: View, setting: Setting, errors: Any) -> float:  # noqa: ANN401
    return served(slipped(at, setting, errors), asked(of_view, at)).success().chance


def told(kept: list[dict[str, Any]]) -> str:
    """How often the step to take is the best there is, within what counts as alike: Markdown."""
    lines = [
        f"{len(kept)} mouths and views; a practised hand; room: {', '.join(ROOM + HOLDERS)}.",
        "",
    ]
    works = [each for each in kept if each["brute"] >= WORKS]
    short = np.array([max(each["brute"] - each["taken"], 0.0) for each in works] or [0.0])
    alike = int((short <= AS_GOOD).sum())
    lines.append(
        f"- Something works in {len(works)}. The step to take is within {AS_GOOD:.0%} of the best "
        f"found by brute force in {alike}; it falls short by {short.mean():.1%} on average, "
        f"{short.max():.1%} at most."
    )
    none = [each for each in kept if each["take"] is None]
    wrong = [each for each in none if each["brute"] >= WORKS]
    lines.append(f'- "No film here serves" is said in {len(none)}, wrongly in {len(wrong)}.')
    over = max(max(each["taken"] - each["brute"], 0.0) for each in kept)
    lines.append(
        "- Nowhere does the step to take serve more often than brute force's best by 0.1% or more."
        if over < NO_TENTH
        else f"- The step to take serves more often than brute force's best by up to {over:.1%}."
    )
    for each in kept:
        less = each["brute"] - each["taken"]
        if less > AS_GOOD:
            bears = ", ".join(each["limits"])
            lines.append(
                f"- Short by {less:.1%}: mouth {each['number']}, {each['view']} ({bears}): takes "
                f"{each['take'] or 'nothing'}, best {each['brute_by']}."
            )
    seconds = [each["ladder_s"] for each in kept]
    lines.append(
        f"- A ladder took {np.median(seconds):.1f} s of processor time in the median, "
        f"{max(seconds):.1f} s at most."
    )
    return "\n".join(lines)


if __name__ == "__main__":
    main()

"""Films marked again and again: how often stated chances come true, and marked grades the true one.

What `benchmarks/marked_films.py` runs and `builders/ratings_page.py` writes down.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any

import numpy as np

from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.exposing.aim import Aim
from bitewright.exposing.exposure import expose, station
from bitewright.exposing.placement import Placement
from bitewright.marking.assess import assess
from bitewright.marking.rating_chances import drawn_rating, state_chances, told_states
from bitewright.marking.simulated_marker import marked_by_simulation
from bitewright.mouth.outlines import build_outlines
from bitewright.planning.best_aim import Setting, best_aim
from bitewright.quality.criteria import Question
from bitewright.quality.predicted import asked, predict
from bitewright.quality.questions import questions
from bitewright.quality.rating import ContactState
from bitewright.quality.rating_schemes import rating_scheme
from bitewright.quality.views import view
from trials.best_films import KINDS, QUESTIONS, RECEPTORS, VIEWS, mouth_of

FIRST_SEED, SEEDS_OF_A_RUN = 7500, 500
MARK_SD_MM, PIXEL_SD_SHARE, PIXEL_MM = 0.15, 0.01, 0.02
SPREADS = (0.5, 1.0, 2.0)
"""Of a hand, by turns: times these. Our choice: from very steady to a learner's."""

SLIPS = {
    "forward_mm": 2.0,
    "height_mm": 0.8,
    "turn_deg": 3.0,
    "tilt_deg": 3.0,
    "roll_deg": 3.0,
    "ring_offset_deg": 4.0,
    "vertical_deg": 3.0,
}
"""A hand's slips about the best exposure, standard deviations. Our choice."""

BINS = (0.0, 0.2, 0.4, 0.6, 0.8, 1.0)
SCHEME = "uk-2020"
GOOD, BAD = "A", "N"


Key = tuple[int, int, float]
"""What a film is known by: run, number, how far off its marks are set [mm]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One film of a run, how often it is marked, and how far off its places marks are set [mm]."""

    run: int
    number: int
    sets: int
    mark_sd_mm: float = MARK_SD_MM

    @property
    def key(self) -> Key:
        """What it is known by."""
        return self.run, self.number, self.mark_sd_mm


def cases(
    run: int, *, films: int, sets: int, marks_sd_mm: Sequence[float] = (MARK_SD_MM,)
) -> list[Case]:
    """The films of a run, each marked as surely and as loosely as asked."""
    return [
        Case(run=run, number=number, sets=sets, mark_sd_mm=sd)
        for number in range(films)
        for sd in marks_sd_mm
    ]


def key_of(line: dict[str, Any]) -> Key:
    """What a line's case is known by."""
    return line["run"], line["number"], line.get("mark_sd_mm", MARK_SD_MM)


def marked_film(case: Case) -> dict[str, Any]:
    """Take one film, mark it, and set what is said of each set of marks beside the truth.

    Mouth, view, receptor and hand by turns. ``sets`` holds, of each set of marks, the chance of
    each contact to be open with the state that is told, and by question the grade with the chance
    of A; ``true`` the states and the grades of the exposure itself.
    """
    known, number = packaged_catalogue(), case.number
    generator = np.random.default_rng([case.run, number])
    kind = KINDS[number % len(KINDS)]
    of_view = view(VIEWS[number // len(KINDS) % len(VIEWS)])
    receptor = known.receptor(RECEPTORS[number // (len(KINDS) * len(VIEWS)) % len(RECEPTORS)])
    at = station(
        build_outlines(mouth_of(kind, FIRST_SEED + SEEDS_OF_A_RUN * (case.run - 1) + number)),
        of_view.region,
        receptor,
        known.holder("ring-holder"),
        known.tube("rectangular-300"),
    )
    best = best_aim(of_view, at).setting
    spread = SPREADS[int(generator.integers(len(SPREADS)))]
    slip = {name: spread * generator.normal(0.0, sd) for name, sd in SLIPS.items()}
    placement, aim = about(best, slip)
    of, scheme = asked(of_view, at), rating_scheme(SCHEME)
    exposure = expose(at, placement, aim)
    true = {question: predict(exposure, of, question=question) for question in QUESTIONS}
    shown = true[Question.ENAMEL]
    sets = []
    for _ in range(case.sets):
        film = marked_by_simulation(
            shown.landmarks,
            of_view,
            pixel_mm=PIXEL_MM,
            image_name="film.png",
            receptor=receptor.name,
            sd_mm=case.mark_sd_mm,
            generator=generator,
        )
        film = replace(film, absent_teeth=_absent(of_view.teeth, at.outlines.codes))
        pixel_mm = PIXEL_MM * (1.0 + generator.normal(0.0, PIXEL_SD_SHARE))
        said: dict[str, Any] = {}
        for question in QUESTIONS:
            found = assess(
                film,
                of_view,
                pixel_mm=pixel_mm,
                receptor=receptor,
                block_mm=at.holder.bite_block_thickness_mm,
                question=question,
            )
            drawn = drawn_rating(found.measurements, question, generator)
            said[question.value] = [
                found.rating.grade(scheme)[0],
                round(drawn.grade_chances(scheme).get(GOOD, 0.0), 3),
            ]
            if question is Question.ENAMEL:
                chances = state_chances(found.contacts, drawn)
                told = told_states(found.contacts, chances)
                said["contacts"] = [
                    [None if chance is None else round(chance.open, 3), state.name]
                    for chance, state in zip(chances, told, strict=True)
                ]
                said["all_open"] = round(drawn.all_open, 3)
        sets.append(said)
    return {
        "run": case.run,
        "number": number,
        "mark_sd_mm": case.mark_sd_mm,
        "kind": kind,
        "view": of_view.name,
        "receptor": receptor.name,
        "spread": spread,
        "true": {
            "contacts": [ContactState(int(state)).name for state in shown.rating.states[0]],
            **{question.value: each.rating.grade(scheme)[0] for question, each in true.items()},
        },
        "sets": sets,
    }


def about(best: Setting, slip: Mapping[str, Any]) -> tuple[Placement, Aim]:
    """Placement and aim a hand's slips away from the best: one of each in `SLIPS`, or an array."""
    placement = replace(
        best.placement(),
        forward_mm=best.forward_mm + slip["forward_mm"],
        height_mm=slip["height_mm"],
        turn_deg=best.turn_deg + slip["turn_deg"],
        tilt_deg=slip["tilt_deg"],
        roll_deg=slip["roll_deg"],
    )
    aim = Aim(
        ring_offset_deg=best.ring_offset_deg + slip["ring_offset_deg"],
        vertical_deg=best.vertical_deg + slip["vertical_deg"],
    )
    return placement, aim


def _absent(teeth: Iterable[int], there: Iterable[int]) -> tuple[int, ...]:
    return tuple(sorted(set(teeth) - set(there)))


Stated = list[tuple[float, bool, int]]
"""Chances stated, whether each came true, and of which film."""


def stated_open(lines: Sequence[dict[str, Any]]) -> Stated:
    """Of every contact on a film: its chance to be open."""
    return [
        (chance, state == ContactState.OPEN.name, line["number"])
        for line in lines
        for said in line["sets"]
        for (chance, _), state in zip(said["contacts"], line["true"]["contacts"], strict=True)
        if chance is not None and state != ContactState.NOT_SHOWN.name
    ]


def stated_good(lines: Sequence[dict[str, Any]], question: Question) -> Stated:
    """Of every set of marks: the chance that the film is acceptable for a question."""
    return [
        (said[question.value][1], line["true"][question.value] == GOOD, line["number"])
        for line in lines
        for said in line["sets"]
    ]


def calibration_table(lines: Sequence[dict[str, Any]]) -> str:
    """How often stated chances came true, by how likely they were called, as Markdown."""
    stated = {"contact open": stated_open(lines)}
    stated |= {f"A, {questions()[q].title}": stated_good(lines, q) for q in QUESTIONS}
    return _beside_what_came_true(stated)


def noise_table(lines: Sequence[dict[str, Any]]) -> str:
    """The same of contacts and of caries in enamel, by how far off marks are set, as Markdown."""
    stated: dict[str, Stated] = {}
    for sd in sorted({line["mark_sd_mm"] for line in lines}):
        own = [line for line in lines if line["mark_sd_mm"] == sd]
        title = questions()[Question.ENAMEL].title
        stated[f"{sd:.2f} mm: contact open"] = stated_open(own)
        stated[f"{sd:.2f} mm: A, {title}"] = stated_good(own, Question.ENAMEL)
    return _beside_what_came_true(stated)


def _beside_what_came_true(stated: Mapping[str, Stated]) -> str:
    rows = [
        f"| chance stated | {' | '.join(stated)} |",
        f"| --- |{' --- |' * len(stated)}",
    ]
    for low, high in pairwise(BINS):
        cells = [_stated_and_true(of, low, high) for of in stated.values()]
        rows.append(f"| {low:.0%} to {high:.0%} | {' | '.join(cells)} |")
    whole = [_stated_and_true(of, 0.0, 1.0) for of in stated.values()]
    return "\n".join([*rows, f"| all | {' | '.join(whole)} |"])


def _stated_and_true(of: Stated, low: float, high: float) -> str:
    """Mean chance stated and share come true of those between, with the error over films."""
    own = [each for each in of if low <= each[0] < high or each[0] == high == 1.0]
    if not own:
        return ""
    by_film = defaultdict(list)
    for chance, came, film in own:
        by_film[film].append((chance, came))
    said, share = (float(np.mean([each[place] for each in own])) for place in (0, 1))
    sums = np.array([sum(c - came for _, c in each) for each in by_film.values()])
    error = float(np.sqrt((sums**2).sum())) / len(own)
    return f"{said:.0%}, {share:.0%} ± {error:.0%} ({len(own)} of {len(by_film)})"


def grades_table(lines: Sequence[dict[str, Any]]) -> str:
    """The grade from marks beside the grade from truth, by question, as Markdown."""
    rows = [
        "| question | films truly A | marks graded A | films truly N | marks graded N | graded ? |",
        "| --- | ---: | ---: | ---: | ---: | ---: |",
    ]
    for question in QUESTIONS:
        name = question.value
        graded = {
            true: [
                said[name][0]
                for line in lines
                if line["true"][name] == true
                for said in line["sets"]
            ]
            for true in (GOOD, BAD)
        }
        films = {true: sum(line["true"][name] == true for line in lines) for true in (GOOD, BAD)}
        every = [*graded[GOOD], *graded[BAD]]
        rows.append(
            f"| {questions()[question].title} | {films[GOOD]} | "
            f"{_share(graded[GOOD], GOOD)} | {films[BAD]} | {_share(graded[BAD], BAD)} | "
            f"{_share(every, '?')} |"
        )
    return "\n".join(rows)


def open_sentences(lines: Sequence[dict[str, Any]]) -> str:
    """How often an open contact is called so, and what is said of films with all open."""
    told = [
        state
        for line in lines
        for said in line["sets"]
        for (_, state), true in zip(said["contacts"], line["true"]["contacts"], strict=True)
        if true == ContactState.OPEN.name
    ]
    good = {ContactState.OPEN.name, ContactState.NOT_TOLD_FROM_OPEN.name}
    all_open = [
        line
        for line in lines
        if set(line["true"]["contacts"]) <= {ContactState.OPEN.name, ContactState.NOT_SHOWN.name}
    ]
    said_so = [
        all(state in good or state == ContactState.NOT_SHOWN.name for _, state in said["contacts"])
        for line in all_open
        for said in line["sets"]
    ]
    shut = [
        state
        for line in lines
        for said in line["sets"]
        for (_, state), true in zip(said["contacts"], line["true"]["contacts"], strict=True)
        if true == ContactState.UNREADABLE.name
    ]
    return (
        f"Of {len(told)} marked contacts that were truly open, "
        f"{_among(state in good for state in told)} were called open or not to be told from "
        f"open; of {len(shut)} truly unreadable ones {_among(state in good for state in shut)} "
        f"were called one of these. Of {len(said_so)} sets of marks on {len(all_open)} films with "
        f"all contacts open, {_among(said_so)} said of every contact that it is open or cannot be "
        f"told from open."
    )


def _among(flags: Iterable[bool]) -> str:
    each = list(flags)
    return f"{np.mean(each):.1%}" if each else "none"


def _share(grades: Sequence[str], wanted: str) -> str:
    if not grades:
        return ""
    return f"{np.mean([grade == wanted for grade in grades]):.1%} of {len(grades)}"


__all__ = [
    "BAD",
    "GOOD",
    "Case",
    "about",
    "calibration_table",
    "cases",
    "grades_table",
    "key_of",
    "marked_film",
    "noise_table",
    "open_sentences",
    "stated_good",
    "stated_open",
]

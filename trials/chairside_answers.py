"""Single faults explained with simulated answers from the chairside, each kept as a line of JSON.

A simulated person tells of the true exposure how rim and ring stood, whatever was meant, and of the
receptor whether it lay as it was meant to: as the set-up that the simulated hand followed has it.
No people were asked.
"""

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass
from enum import StrEnum
from pathlib import Path
from typing import Any

import numpy as np

from bitewright.estimation.estimate import Estimate
from bitewright.explanation.chairside_answers import Answers, ChairsideQuestion
from bitewright.explanation.chairside_questions import (
    BITE_MM,
    EDGE_MM,
    GAP_DEG,
    LEVEL_DEG,
    SET_MM,
    WRONG,
)
from bitewright.explanation.correction import CauseName, Correction
from bitewright.explanation.explain import film_correction
from bitewright.explanation.needed_movement import NeededMovement, needed_movement
from bitewright.explanation.needs import AsMarked
from bitewright.planning.best_aim import Setting
from bitewright.planning.general_set_up import general_set_up
from bitewright.quality.criteria import Question
from trials.explained_films import FAULTS_RUN, Case, cases, film_of
from trials.judged import estimated
from trials.known_films import SINGLE_FAULTS, Equipment, KnownFilm, single_fault


class Meant(StrEnum):
    """Which set-up the hand followed."""

    BEST = "best"
    """The best one of the mouth, which nobody at a chairside knows."""
    GENERAL = "general"
    """That of the general plan, the rim flush with its ring."""


MOST = 2
"""Questions asked one after another."""

DECIMALS = 3
TOLD_WRONG, BY_THE_PLAN = 1, 2
"""Seeds beside a film's own: for which answers are wrong, for a hand that follows the plan."""


def true_answers(film: KnownFilm, meant: Setting) -> Answers:
    """What a person would answer who saw exactly how the exposure was made, and what was meant.

    Of rim and ring as they stood: a set-up that leaves its ring has a gap, as it is meant to. Our
    thresholds, those that an explanation assumes. [deg, mm]
    """
    if film.set_up is None:
        raise ValueError
    place, aim = film.set_up.placement, film.set_up.aim
    seat = film.exposure.seat
    along = float(np.asarray(aim.ring_offset_deg).item())
    above = float(np.asarray(aim.vertical_deg - place.tilt_deg).item())
    ahead = float(np.asarray(place.forward_mm).item()) - meant.forward_mm
    high, roll = (float(np.asarray(each).item()) for each in (place.height_mm, place.roll_deg))
    gap_along, gap_above = abs(along) > GAP_DEG, abs(above) > GAP_DEG
    return {
        ChairsideQuestion.RIM: not (gap_along or gap_above),
        ChairsideQuestion.GAP_ALONG: gap_along,
        ChairsideQuestion.GAP_ABOVE: gap_above,
        ChairsideQuestion.BITE: float(seat.closure_mm[0]) <= BITE_MM,
        ChairsideQuestion.FRONT: ahead > EDGE_MM,
        ChairsideQuestion.BACK: ahead < -EDGE_MM,
        ChairsideQuestion.HIGH: high > SET_MM,
        ChairsideQuestion.LOW: high < -SET_MM,
        ChairsideQuestion.LEVEL: abs(roll) <= LEVEL_DEG,
    }


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What an explanation told: its first cause, how likely that costs most, the one in its place.

    ``asked``: how many questions were answered before.
    """

    first: CauseName
    chance: float
    alternative: CauseName | None
    asked: int


@dataclass(frozen=True, slots=True, kw_only=True)
class AnsweredFilm:
    """One single fault: what was told after each number of answers, all true and some wrong.

    ``asked``: the questions in the order in which they were asked, the answers true.
    """

    run: int
    number: int
    fault: str
    meant: Meant
    true: tuple[Told, ...]
    some_wrong: tuple[Told, ...]
    asked: tuple[ChairsideQuestion, ...]


def answered_film(case: Case, meant: Meant) -> AnsweredFilm:
    """Make a film with one fault, and explain it with none, one, ... answers."""
    film, setting, generator = _film_and_meant(case, meant)
    found = estimated(film)
    needed = needed_movement(found, film.view, generator=generator)
    answers = true_answers(film, setting)
    wrong = np.random.default_rng([case.run, case.number, TOLD_WRONG]).random(len(answers)) < WRONG
    given = {each: answers[each] != bool(off) for each, off in zip(answers, wrong, strict=True)}
    told, asked = _one_after_another(found, film, needed, answers)
    some_wrong, _ = _one_after_another(found, film, needed, given)
    return AnsweredFilm(
        run=case.run,
        number=case.number,
        fault=case.fault or "",
        meant=meant,
        true=told,
        some_wrong=some_wrong,
        asked=asked,
    )


def _film_and_meant(case: Case, meant: Meant) -> tuple[KnownFilm, Setting, np.random.Generator]:
    """The film with its fault, the set-up that was meant, and the generator as that leaves it."""
    mouth, film, _, generator = film_of(case)
    if meant is Meant.BEST or case.fault is None:
        return film, film.best.setting, generator
    general = general_set_up(film.view, film.station, Question.ENAMEL)
    generator = np.random.default_rng([case.run, case.number, BY_THE_PLAN])
    film = single_fault(case.fault, mouth, film.view, Equipment.usual(), generator, meant=general)
    return film, general, generator


def _one_after_another(
    found: Estimate, film: KnownFilm, needed: NeededMovement, answers: Answers
) -> tuple[tuple[Told, ...], tuple[ChairsideQuestion, ...]]:
    """What is told after none, one, ... of the questions that are asked."""
    given: dict[ChairsideQuestion, bool] = {}
    told = []
    for _ in range(MOST + 1):
        said = film_correction(found, film.view, needed, marked=AsMarked(answers=dict(given)))
        told.append(_told(said, len(given)))
        if said.asks is not None and len(told) <= MOST:
            given[said.asks] = answers[said.asks]
    return tuple(told), tuple(given)


def _told(said: Correction, asked: int) -> Told:
    other = next((each.name for each in said.causes if each.is_alternative), None)
    first = said.causes[0]
    return Told(
        first=first.name, chance=round(first.chance, DECIMALS), alternative=other, asked=asked
    )


def fault_cases(run: int, films: int) -> list[Case]:
    """Single faults of a run."""
    return cases(run, films={}, faults=films)


def of_run(films: Sequence[AnsweredFilm], run: int) -> list[AnsweredFilm]:
    """Those of a run as it was asked for, whose single faults are numbered apart."""
    return [each for each in films if each.run == run + FAULTS_RUN]


def write_answered(path: Path, films: Iterable[AnsweredFilm]) -> None:
    """Write each film's line as soon as it is there."""
    with path.open("a", encoding="utf-8") as file:
        for each in films:
            file.write(json.dumps(asdict(each)) + "\n")
            file.flush()


def read_answered(path: Path) -> list[AnsweredFilm]:
    """The films of a file, by number."""
    lines = path.read_text(encoding="utf-8").splitlines() if path.exists() else []
    return sorted(
        (answered_of(json.loads(line)) for line in lines),
        key=lambda each: (each.meant, each.number),
    )


def answered_of(entry: Mapping[str, Any]) -> AnsweredFilm:
    """A film from what was kept of it."""
    return AnsweredFilm(
        run=entry["run"],
        number=entry["number"],
        fault=entry["fault"],
        meant=Meant(entry["meant"]),
        true=tuple(map(_told_of, entry["true"])),
        some_wrong=tuple(map(_told_of, entry["some_wrong"])),
        asked=tuple(map(ChairsideQuestion, entry["asked"])),
    )


def _told_of(entry: Mapping[str, Any]) -> Told:
    other = entry["alternative"]
    return Told(
        first=CauseName(entry["first"]),
        chance=entry["chance"],
        alternative=None if other is None else CauseName(other),
        asked=entry["asked"],
    )


HEADS = (
    "set up by",
    "answers",
    "first cause right",
    "told alone",
    "right, told alone",
    "it or its alternative right",
    "questions asked a film",
)


def answers_table(films: Sequence[AnsweredFilm]) -> str:
    """How often the first cause is right after none, one, two answers, true or some wrong."""
    lines = [f"| {' | '.join(HEADS)} |", "| --- " * len(HEADS) + "|"]
    for meant, title in MEANT_WORDS.items():
        own = [each for each in films if each.meant is meant]
        head = f"{title} ({len(own)} films)"
        for count, words in enumerate(COUNTS if own else ()):
            lines.append(_row(head, words, [(each.fault, each.true[count]) for each in own]))
            if count:
                wrong = [(each.fault, each.some_wrong[count]) for each in own]
                lines.append(_row(head, f"{words}, one in ten wrong", wrong))
    return "\n".join(lines)


COUNTS = ("none", "one", "two")
MEANT_WORDS = {
    Meant.BEST: "the best set-up of the mouth",
    Meant.GENERAL: "the general plan",
}


def _row(head: str, name: str, told: Sequence[tuple[str, Told]]) -> str:
    first = [each.first in SINGLE_FAULTS[fault].causes for fault, each in told]
    either = [
        each.first in SINGLE_FAULTS[fault].causes or each.alternative in SINGLE_FAULTS[fault].causes
        for fault, each in told
    ]
    alone = [each.alternative is None and each.first is not CauseName.NONE for _, each in told]
    right_alone = [right for right, is_alone in zip(first, alone, strict=True) if is_alone]
    cells = [
        f"{np.mean(first):.1%}",
        f"{np.mean(alone):.1%}",
        f"{np.mean(right_alone):.1%}" if right_alone else "none",
        f"{np.mean(either):.1%}",
        f"{np.mean([each.asked for _, each in told]):.2f}",
    ]
    return f"| {head} | {name} | {' | '.join(cells)} |"


__all__ = [
    "AnsweredFilm",
    "Meant",
    "Told",
    "answered_film",
    "answered_of",
    "answers_table",
    "fault_cases",
    "of_run",
    "read_answered",
    "true_answers",
    "write_answered",
]

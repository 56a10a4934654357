"""The best possible film of drawn mouths for each question: does it serve, and what fails if not.

What `benchmarks/films_for_questions.py` runs and `builders/ratings_page.py` writes down.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from bitewright.audit.proportions import share_of
from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.exposing.exposure import CannotOpenError, ReceptorTooLargeError, fitting, station
from bitewright.mouth.drawn_mouth import drawn_mouth
from bitewright.mouth.mouth import Mouth
from bitewright.mouth.outlines import build_outlines
from bitewright.mouth.population_mouth import Regularity, population_mouth
from bitewright.planning.best_aim import Plan, best_aim
from bitewright.quality.criteria import CriterionName, Question
from bitewright.quality.findings import findings
from bitewright.quality.predicted import Asked, asked, predict
from bitewright.quality.questions import OF_NAMED_SURFACES, needs, questions
from bitewright.quality.rating import Outcome
from bitewright.quality.rating_schemes import rating_scheme
from bitewright.quality.views import view
from bitewright.quality.wanted import edges
from bitewright.words.titles import criterion_title

KINDS = ("drawn", "calm", "population")
KIND_WORDS = {
    "drawn": "as the standard mouth",
    "calm": "population, calmer",
    "population": "population",
}
FIRST_SEED = 9000
RECEPTORS = ("sensor-2", "plate-2")
VIEWS = ("right-premolar", "right-molar")
QUESTIONS = tuple(each for each in Question if each not in OF_NAMED_SURFACES)
STRICTEST_FIRST = (Question.BOTH, Question.ENAMEL, Question.DENTINE, Question.BONE)
"""A film that serves a question is tried for the next before another is planned for that."""

NO_ROOM = "no room"
WISDOM = 8
"""Place of the third molars, which these mouths lack."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One mouth, receptor and view."""

    kind: str
    seed: int
    receptor: str
    view: str

    @property
    def key(self) -> tuple[str, int, str, str]:
        """What it is known by."""
        return self.kind, self.seed, self.receptor, self.view


def cases(mouths: int) -> list[Case]:
    """So many mouths of each kind, with every receptor and view."""
    return [
        Case(kind=kind, seed=seed, receptor=receptor, view=name)
        for seed in range(FIRST_SEED, FIRST_SEED + mouths)
        for kind in KINDS
        for receptor in RECEPTORS
        for name in VIEWS
    ]


def key_of(line: dict[str, Any]) -> tuple[str, int, str, str]:
    """What a line's case is known by."""
    return line["kind"], line["seed"], line["receptor"], line["view"]


def mouth_of(kind: str, seed: int) -> Mouth:
    """A drawn mouth of one of `KINDS`."""
    if kind == "drawn":
        return drawn_mouth(seed)
    calm = kind == "calm"
    return population_mouth(seed, regularity=Regularity.CALM if calm else Regularity.POPULATION)


def best_films(case: Case) -> dict[str, Any]:
    """The best film of one view for each question: grade, and what fails where."""
    known = packaged_catalogue()
    of_view = view(case.view)
    at = station(
        build_outlines(mouth_of(case.kind, case.seed)),
        of_view.region,
        known.receptor(case.receptor),
        known.holder("ring-holder"),
        known.tube("rectangular-300"),
    )
    of = asked(of_view, at)
    line: dict[str, Any] = {
        "kind": case.kind,
        "seed": case.seed,
        "receptor": case.receptor,
        "view": case.view,
        "lost_teeth": sum(
            code not in at.outlines.codes for code in of_view.teeth if code % 10 < WISDOM
        ),
    }
    plan: Plan | None = None
    for question in STRICTEST_FIRST:
        film = None if plan is None else film_for(question, plan, of)
        if film is None or not serves(film):
            plan = best_aim(of_view, at, question=question)
            film = film_for(question, plan, of)
        line[question.value] = film
    return line


def film_for(question: Question, plan: Plan, of: Asked) -> dict[str, Any]:
    """What a plan's film is graded for a question, and what fails where."""
    prediction = predict(plan.exposure, of, question=question)
    rating, measured = prediction.rating, prediction.measurements
    failed = {
        each.criterion.name.value: each.place
        for each in findings(measured, rating, question=question)
        if each.outcome is Outcome.FAILED
    }
    try:
        fitting(plan.exposure)
    except (CannotOpenError, ReceptorTooLargeError):
        failed = {NO_ROOM: None}
    return {
        "grade": rating.grade(rating_scheme("uk-2020"))[0],
        "failed": failed,
        "apart_deg": round(apart_deg(of, question), 2),
        "closure_mm": round(float(plan.exposure.seat.closure_mm[0]), 2),
    }


def apart_deg(of: Asked, question: Question) -> float:
    """How far apart the open directions of the contacts lie that a question needs. [deg]"""
    need = needs(question, of.wanted)
    open_deg = [
        site.open_azimuth_deg for site in of.targets.sites if need.surfaces & set(edges(site.pair))
    ]
    return float(np.ptp(open_deg)) if open_deg else 0.0


def serves(found: dict[str, Any]) -> bool:
    """Whether a film is acceptable for its question and there is room for it."""
    return bool(found["grade"] == "A") and not found["failed"]


def shares_table(lines: Sequence[dict[str, Any]]) -> str:
    """Share acceptable with its 95% interval (Wilson), and what fails, as Markdown."""
    known = packaged_catalogue()
    columns = [(receptor, name) for receptor in RECEPTORS for name in VIEWS]
    heads = [f"{known.receptor(receptor).title}, {view(name).title}" for receptor, name in columns]
    rows = [
        f"| question | mouths | {' | '.join(heads)} | what fails |",
        f"| --- | --- | {'---: | ' * len(columns)}--- |",
    ]
    for question in QUESTIONS:
        for kind in KINDS:
            films = {
                column: [
                    line[question.value]
                    for line in lines
                    if (line["kind"], (line["receptor"], line["view"])) == (kind, column)
                ]
                for column in columns
            }
            if all(films.values()):
                rows.append(
                    f"| {questions()[question].title} | {KIND_WORDS[kind]} | "
                    f"{' | '.join(map(_share, films.values()))} | "
                    f"{_what_fails([each for own in films.values() for each in own])} |"
                )
    return "\n".join(rows)


def reasons_table(lines: Sequence[dict[str, Any]]) -> str:
    """Of films for caries in enamel: how far apart needed contacts open, by whether they serve."""
    rows = [
        "| mouths | film | films | needed contacts open apart (10th to 90th) | teeth lost |",
        "| --- | --- | ---: | ---: | ---: |",
    ]
    for kind in KINDS:
        own = [line for line in lines if line["kind"] == kind]
        for serving, said in ((True, "serves"), (False, "does not")):
            of = [line for line in own if serves(line[Question.ENAMEL.value]) is serving]
            if of:
                apart = [line[Question.ENAMEL.value]["apart_deg"] for line in of]
                low, middle, high = np.quantile(apart, [0.1, 0.5, 0.9])
                lost = np.mean([line["lost_teeth"] > 0 for line in of])
                rows.append(
                    f"| {KIND_WORDS[kind]} | {said} | {len(of)} | "
                    f"{middle:.0f} degrees ({low:.0f} to {high:.0f}) | {lost:.0%} |"
                )
    return "\n".join(rows)


def _share(films: Sequence[dict[str, Any]]) -> str:
    good = sum(map(serves, films))
    found = share_of(good, len(films))
    return f"{found.share:.1%} ({found.low:.0%} to {found.high:.0%})"


def _what_fails(films: Sequence[dict[str, Any]]) -> str:
    failed = Counter(name for film in films for name in film["failed"])
    return ", ".join(
        f"{name if name == NO_ROOM else criterion_title(CriterionName(name))} {count}"
        for name, count in failed.most_common()
    )


__all__ = [
    "KINDS",
    "QUESTIONS",
    "Case",
    "best_films",
    "cases",
    "key_of",
    "mouth_of",
    "reasons_table",
    "serves",
    "shares_table",
]

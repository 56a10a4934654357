"""Quick readings of known films: told after the first marks, after all, and beside the truth.

A line of JSON holds one film: what each few marks told to do, what the whole explanation of all
marks tells, and what truly had to move.
"""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np

from bitewright.explanation.correction import Estimated, Need, Part, Verdict
from bitewright.explanation.explain import explain
from bitewright.explanation.explanation import Explanation
from bitewright.explanation.harm import HARM
from bitewright.explanation.needs import WORTH
from bitewright.explanation.quick_reading import QuickReading, quick_reading, with_next
from bitewright.exposing.exposure import Station
from bitewright.marking.assess import assess
from bitewright.marking.mark_order import mark_order
from bitewright.marking.marked_landmarks import landmarks_from_marks
from bitewright.marking.marks import MarkedFilm, MarkStatus
from bitewright.marking.rating_chances import drawn_rating
from bitewright.planning.best_aim import Plan, best_aim
from bitewright.quality.criteria import Question
from bitewright.quality.rating_schemes import USUAL_SCHEME, rating_scheme
from bitewright.quality.views import view
from bitewright.tasks.assess.film_assessment import FilmAssessment
from bitewright.tasks.assess.taken_film import TakenFilm
from trials.explained_films import Case, film_of
from trials.judged import estimated, judged
from trials.known_films import PIXEL_MM, KnownFilm

FEWEST, STEP, FURTHER = 6, 2, 12
"""Read after so many marks, every so many up to the last contact edge, and so many further on."""
FIRST_FILMS = Path(__file__).with_name("quick_films.json")
"""What the run that the docs quote found of its first films."""

KEEP, CANNOT_TELL = "nothing", "cannot tell"
Line = dict[str, Any]


def quick_film(case: Case) -> Line:
    """Make a film, read it after each few marks and after all, and judge that."""
    _, film, _, _ = film_of(case)
    order = [name for name in mark_order(film.view) if name in film.film.marks]
    edges = len(edge_names(film))
    further = range(edges + FURTHER, len(order), FURTHER)
    counts = [*range(FEWEST, edges, STEP), edges, *further]
    steps = []
    for count in counts:
        part = with_marks(film, order[:count])
        if seen(part.film) >= FEWEST:
            steps.append(_step(part, count, is_quick=count == edges))
    whole = with_marks(film, order)
    found = estimated(whole)
    said = explain(found, film.view, generator=np.random.default_rng(0))
    serves = assessed(whole).serves
    true = judged(film, said).true
    return {
        "run": case.run,
        "number": case.number,
        "view": film.view.name,
        "marks": len(order),
        "edges": edges,
        "steps": steps,
        "whole": told_of(said, serves=serves),
        "serves": serves,
        "swing": said.correction.of(Part.SWING).needed.value,
        "true": {part.value: true[part] for part in Part},
        "truly": truly(true, serves=serves),
    }


def edge_names(film: KnownFilm) -> list[str]:
    """The marks of a quick reading: both edges at every contact, in the order they are asked."""
    return [
        name for name in mark_order(film.view) if name in film.film.marks and name.count(".") == 1
    ]


def key(case: Case) -> tuple[int, int]:
    """What a case is known by."""
    return case.run, case.number


def key_of(line: Mapping[str, Any]) -> tuple[int, int]:
    """What a line's case is known by."""
    return line["run"], line["number"]


def _step(film: KnownFilm, count: int, *, is_quick: bool) -> Line:
    found = estimated(film)
    plan = middle_plan(found.films[0].station, film)
    generator = np.random.default_rng(0)
    said = quick_reading(found, plan, generator=generator)
    serves = assessed(film).serves
    if serves is False:
        said = with_next(said, found, plan, generator=generator)
    return {
        "marks": count,
        "is_quick": is_quick,
        "told": told_quick(said, serves=serves),
        "serves": serves,
        "chance_same": said.chance_same,
        "settled": said.is_settled(serves=serves),
        "swing": said.swing.needed.value,
        "half": 0.5 * (said.swing.needed.high - said.swing.needed.low),
    }


def with_marks(film: KnownFilm, names: Iterable[str]) -> KnownFilm:
    """The same film with these marks alone."""
    kept = {name: film.film.marks[name] for name in names}
    marks = replace(film.film, marks=kept)
    return replace(
        film,
        film=marks,
        landmarks=landmarks_from_marks(
            marks, film.view, pixel_mm=PIXEL_MM, receptor=film.station.receptor
        ),
    )


def seen(marks: MarkedFilm) -> int:
    """How many marks lie on the film."""
    return sum(mark.status is MarkStatus.SEEN for mark in marks.marks.values())


def assessed(film: KnownFilm) -> FilmAssessment:
    """Measured and rated as a person's film is."""
    at, question, scheme = film.station, Question.ENAMEL, rating_scheme(USUAL_SCHEME)
    found = assess(
        film.film,
        film.view,
        pixel_mm=PIXEL_MM,
        receptor=at.receptor,
        block_mm=at.holder.bite_block_thickness_mm,
    )
    return FilmAssessment(
        name="film",
        film=TakenFilm(marks=film.film, view=film.view, receptor=at.receptor),
        holder=at.holder,
        question=question,
        scheme=scheme,
        assessment=found,
        drawn=drawn_rating(found.measurements, question, np.random.default_rng(0)),
        grade=found.rating.grade(scheme)[0],
        pixel_mm=PIXEL_MM,
        pixel_from="",
        image_caveats=(),
    )


def middle_plan(at: Station, film: KnownFilm) -> Plan:
    """The best exposure of the middle mouth."""
    return _middle_plan(film.view.name, _Kept(at))


class _Kept:
    """A station that is the same for every film of a view: they share equipment and mouth."""

    def __init__(self, at: Station) -> None:
        self.at = at

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Kept)

    def __hash__(self) -> int:
        return 0


@cache
def _middle_plan(view_name: str, kept: _Kept) -> Plan:
    return best_aim(view(view_name), kept.at)


def told_of(said: Explanation, *, serves: bool | None) -> str:
    """What an explanation tells to do: a course or the tube's way, nothing, or cannot tell."""
    correction = said.correction
    moving = [each for each in correction.movements if each.need is Need.MOVE]
    if serves:
        return KEEP
    if correction.marks_come_first:
        return CANNOT_TELL
    if said.next is not None:
        swing = correction.of(Part.SWING)
        return way(Part.SWING, swing.needed) if said.next.is_moved else said.next.course.value
    if not moving:
        return KEEP if correction.verdict is Verdict.NOTHING else CANNOT_TELL
    return way(moving[0].part, moving[0].needed)


def told_quick(said: QuickReading, *, serves: bool | None) -> str:
    """What a quick reading tells to do, likewise."""
    if serves:
        return KEEP
    if said.marks_come_first:
        return CANNOT_TELL
    if said.next is not None:
        return way(Part.SWING, said.swing.needed) if said.next.is_moved else said.next.course.value
    if said.first is None:
        return KEEP if said.can_tell else CANNOT_TELL
    return way(said.first.part, said.first.needed)


def truly(true: Mapping[Part, float], *, serves: bool | None) -> str:
    """What truly had to move first."""
    costs = {part: abs(true[part]) / HARM[part] for part in HARM if abs(true[part]) >= WORTH[part]}
    if serves or not costs:
        return KEEP
    first = max(costs, key=lambda part: costs[part])
    return way(first, Estimated(value=true[first], low=true[first], high=true[first]))


def way(part: Part, needed: Estimated) -> str:
    """A part and which way it moves."""
    return f"{part.value} {'+' if needed.value > 0.0 else '-'}"


__all__ = [
    "CANNOT_TELL",
    "FIRST_FILMS",
    "KEEP",
    "assessed",
    "edge_names",
    "key",
    "key_of",
    "middle_plan",
    "quick_film",
    "with_marks",
]

"""Known films explained one by one, each kept as a line of JSON, so that a long run can go on.

A line holds one film: which case it is, what had to move, how far off the explanation was, and
whether its intervals held the truth. `benchmarks/explain.py` appends them, tables are made of them.
"""

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass, fields
from enum import StrEnum
from pathlib import Path
from typing import Any, TextIO

import numpy as np

from bitewright.explanation.correction import CauseName, Need, Part, Verdict
from bitewright.explanation.next_exposure import Course
from bitewright.mouth.mouth import Mouth
from bitewright.quality.views import view
from trials.crowned_films import crowned_view, shared_population
from trials.judged import explained, judged
from trials.known_films import (
    SINGLE_FAULTS,
    Equipment,
    KnownFilm,
    known_film,
    single_fault,
    strange_mouth,
)
from trials.moved_marks import moved_mark
from trials.needed_swing import swing_judged
from trials.next_films import Readable, Way, readable
from trials.scanned_films import ScannedView, scanned_film

VIEWS = ("right-premolar", "right-molar", "right-premolar-vertical", "left-molar-vertical")
SPREADS = (1.0, 0.6)
BEYOND = 2.0
MISSING = (0.0, 0.2)
FAULTS_RUN = 1000
"""Films with one fault are numbered as another run, by this much more."""


MOVED = 1
"""Seed beside a film's own for the mark that is set off."""


class Kind(StrEnum):
    """What is filmed.

    A population's mouths as outlines, real crowns in the places of such mouths' teeth, and outlines
    of mouths beyond the population.
    """

    OUTLINES = "outlines"
    CROWNS = "crowns"
    BEYOND = "beyond"


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One film of a run: what of, which view, how wide a population, how many marks are missing."""

    run: int
    number: int
    kind: Kind = Kind.OUTLINES
    fault: str | None = None

    @property
    def view(self) -> str:
        """View by turns."""
        return VIEWS[self.number % len(VIEWS)]

    @property
    def spread(self) -> float:
        """Spread of the mouth's population by turns."""
        if self.kind is Kind.BEYOND:
            return BEYOND
        return SPREADS[self.number // len(VIEWS) % len(SPREADS)]

    @property
    def missing(self) -> float:
        """Share of marks left out by turns."""
        return MISSING[self.number // (len(VIEWS) * len(SPREADS)) % len(MISSING)]


@dataclass(frozen=True, slots=True, kw_only=True)
class ExplainedFilm:
    """A case and how its explanation did; lengths and angles by part. [deg, mm]

    ``true``, ``error``, ``half``, ``covered`` and ``alternative`` as in `Judged`, ``needs`` as was
    told; the swing that real crowns need is that of `SwingJudged`, ``worst_error`` the error
    against its worst contact's. ``turned_deg``: mean size of the rotation of the view's teeth.
    ``before_mm``, ``after_mm``: of real crowns, as in `SwingJudged`. ``doubted``: how many marks
    are named to be checked. ``moved``: what a mark was that was set off then, and whether that one
    was named, and the rest of `MovedMark`. ``course``: what is told to do next, None where the
    marks come first. ``readable``: what can be read on the next film, by how it comes about; empty
    of mouths beyond the population and of films with a single fault.
    """

    run: int
    number: int
    kind: Kind
    fault: str | None
    view: str
    spread: float
    missing: float
    true: dict[Part, float]
    error: dict[Part, float]
    half: dict[Part, float]
    covered: dict[Part, bool]
    needs: dict[Part, Need]
    verdict: Verdict
    first_cause: CauseName
    alternative: CauseName | None
    marks: int
    doubted: int
    moved: str
    moved_named: bool
    moved_along: bool
    moved_foretold_mm: float
    moved_at_best: float
    misfit: float
    is_unlike: bool
    turned_deg: float
    worst_error: float | None
    before_mm: float | None
    after_mm: float | None
    course: Course | None
    readable: dict[Way, Readable]

    @property
    def case(self) -> Case:
        """The case it is of."""
        return Case(run=self.run, number=self.number, kind=self.kind, fault=self.fault)


def cases(run: int, *, films: Mapping[Kind, int], faults: int) -> list[Case]:
    """Films of a run, each kind's among the others', and every so often one with one fault."""
    names = tuple(SINGLE_FAULTS)
    wanted = [
        (number / count, Case(run=run, number=number, kind=kind))
        for kind, count in films.items()
        for number in range(count)
    ]
    wanted += [
        (
            number / faults,
            Case(
                run=run + FAULTS_RUN, number=number, fault=names[number // len(VIEWS) % len(names)]
            ),
        )
        for number in range(faults)
    ]
    return [case for _, case in sorted(wanted, key=lambda each: each[0])]


def explained_film(case: Case) -> ExplainedFilm:
    """Make a film, explain it, judge that."""
    mouth, film, crowns, generator = film_of(case)
    said = explained(film, generator)
    found = judged(film, said)
    swing = None
    if crowns is not None:
        swing = swing_judged(film, said, crowns.open)
        found.true[Part.SWING], found.error[Part.SWING] = swing.needed_deg, swing.error_deg
        found.covered[Part.SWING] = swing.covered
    beside = said.estimate.left_out[0]
    again = np.random.default_rng([case.run, case.number, list(Kind).index(case.kind), MOVED])
    moved = moved_mark(film, list(beside.marks), again)
    teeth = [mouth.teeth[code] for code in film.view.teeth if code in mouth.teeth]
    return ExplainedFilm(
        run=case.run,
        number=case.number,
        kind=case.kind,
        fault=case.fault,
        view=case.view,
        spread=case.spread,
        missing=case.missing,
        true=found.true,
        error=found.error,
        half=found.half,
        covered={part: bool(held) for part, held in found.covered.items()},
        needs={part: said.correction.of(part).need for part in Part},
        verdict=found.verdict,
        first_cause=found.first_cause,
        alternative=found.alternative,
        marks=found.marks,
        doubted=len(said.correction.doubtful_marks),
        moved=moved.kind,
        moved_named=moved.named,
        moved_along=moved.along,
        moved_foretold_mm=moved.foretold_mm,
        moved_at_best=moved.at_best,
        misfit=found.misfit,
        is_unlike=said.correction.is_unlike,
        turned_deg=float(np.mean([abs(tooth.rotation_deg) for tooth in teeth])),
        worst_error=None if swing is None else swing.told_deg - swing.worst_needed_deg,
        before_mm=None if swing is None else swing.before_mm,
        after_mm=None if swing is None else swing.after_mm,
        course=None if said.next is None else said.next.course,
        readable={}
        if case.kind is Kind.BEYOND or case.fault is not None or film.set_up is None
        else readable(film, said, case.number, crowns=crowns),
    )


def film_of(case: Case) -> tuple[Mouth, KnownFilm, ScannedView | None, np.random.Generator]:
    """A case's mouth, its film, the real crowns filmed, and the generator as that leaves it."""
    generator = np.random.default_rng([case.run, case.number, list(Kind).index(case.kind)])
    mouth = strange_mouth(generator, spread=case.spread)
    usual, asked = Equipment.usual(), view(case.view)
    if case.kind is Kind.CROWNS:
        seed = int(generator.integers(2**31))
        of = crowned_view(shared_population(), mouth, asked, usual, seed=seed)
        film = scanned_film(of, generator, missing_share=case.missing)
        return of.plan.station.outlines.mouth, film, of, generator
    if case.fault is None:
        film = known_film(mouth, asked, usual, generator, missing_share=case.missing)
    else:
        film = single_fault(case.fault, mouth, asked, usual, generator)
    return mouth, film, None, generator


def left_to_do(wanted: Iterable[Case], done: Iterable[ExplainedFilm]) -> list[Case]:
    """The cases of which there is no line yet."""
    known = {(each.run, each.number, each.kind) for each in done}
    return [case for case in wanted if (case.run, case.number, case.kind) not in known]


def append_films(file: TextIO, films: Iterable[ExplainedFilm]) -> None:
    """Write each film's line as soon as it is there."""
    for each in films:
        file.write(json.dumps(asdict(each)) + "\n")
        file.flush()


def read_films(path: Path) -> list[ExplainedFilm]:
    """The films of a file, in the order of their cases; a line cut short at the end is left out."""
    lines = path.read_text(encoding="utf-8").splitlines() if path.exists() else []
    found = list(_whole(lines))
    return sorted(found, key=lambda each: (each.run, each.kind, each.number))


def of_kind(films: Sequence[ExplainedFilm], kind: Kind) -> list[ExplainedFilm]:
    """The films of a kind, without those with one fault."""
    return [each for each in films if each.kind is kind and each.fault is None]


def with_one_fault(films: Sequence[ExplainedFilm]) -> list[ExplainedFilm]:
    """The films with one fault."""
    return [each for each in films if each.fault is not None]


def _whole(lines: list[str]) -> Iterator[ExplainedFilm]:
    for number, line in enumerate(lines, start=1):
        try:
            yield _film(json.loads(line))
        except json.JSONDecodeError:
            if number < len(lines):
                raise


def _film(entry: dict[str, Any]) -> ExplainedFilm:
    by_part: dict[str, Any] = {
        name: {Part(part): value for part, value in entry[name].items()}
        for name in ("true", "error", "half", "covered")
    }
    by_part["readable"] = {
        Way(way): Readable(**shares) for way, shares in entry["readable"].items()
    }
    by_part["needs"] = {Part(part): Need(need) for part, need in entry["needs"].items()}
    words = {
        "kind": Kind(entry["kind"]),
        "verdict": Verdict(entry["verdict"]),
        "course": None if entry["course"] is None else Course(entry["course"]),
        "first_cause": CauseName(entry["first_cause"]),
        "alternative": None if entry["alternative"] is None else CauseName(entry["alternative"]),
    }
    return ExplainedFilm(
        **{each.name: entry[each.name] for each in fields(ExplainedFilm)} | by_part | words
    )


__all__ = [
    "VIEWS",
    "Case",
    "ExplainedFilm",
    "Kind",
    "append_films",
    "cases",
    "explained_film",
    "film_of",
    "left_to_do",
    "of_kind",
    "read_films",
    "with_one_fault",
]

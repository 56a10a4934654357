"""Known films explained one by one, each kept as a line of JSON, so that a long run can go on.

A line holds one film: which case it is, what had to move, how far off the explanation was, and
whether its intervals held the truth. `benchmarks/explain.py` appends them, tables are made of them.
"""

import json
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import asdict, dataclass, fields
from pathlib import Path
from typing import Any, TextIO

import numpy as np

from bitewright.explanation.correction import CauseName, Part, Verdict
from bitewright.mouth.mouth import Mouth
from bitewright.quality.views import view
from trials.judged import explained, judged
from trials.known_films import (
    SINGLE_FAULTS,
    Equipment,
    KnownFilm,
    known_film,
    single_fault,
    strange_mouth,
)

VIEWS = ("right-premolar", "right-molar", "right-premolar-vertical", "left-molar-vertical")
SPREADS = (1.0, 1.3, 0.7)
MISSING = (0.0, 0.2)
FAULTS_RUN = 1000
"""Films with one fault are numbered as another run, by this much more."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One film of a run: which view, how wide a population, how many marks are missing."""

    run: int
    number: int
    fault: str | None = None

    @property
    def view(self) -> str:
        """View by turns."""
        return VIEWS[self.number % len(VIEWS)]

    @property
    def spread(self) -> float:
        """Spread of the mouth's population by turns."""
        return SPREADS[self.number // len(VIEWS) % len(SPREADS)]

    @property
    def missing(self) -> float:
        """Share of marks left out by turns."""
        return MISSING[self.number // (len(VIEWS) * len(SPREADS)) % len(MISSING)]


@dataclass(frozen=True, slots=True, kw_only=True)
class ExplainedFilm:
    """A case and how its explanation did; lengths and angles by part. [deg, mm]

    ``true``, ``error`` and ``covered`` as in `Judged`. ``turned_deg``: mean size of the rotation of
    the view's teeth. ``arch``: the curve the mouth stands on.
    """

    run: int
    number: int
    fault: str | None
    view: str
    spread: float
    missing: float
    true: dict[Part, float]
    error: dict[Part, float]
    covered: dict[Part, bool]
    verdict: Verdict
    first_cause: CauseName
    marks: int
    misfit: float
    turned_deg: float
    arch: str

    @property
    def case(self) -> Case:
        """The case it is of."""
        return Case(run=self.run, number=self.number, fault=self.fault)


def cases(run: int, *, films: int, faults: int) -> list[Case]:
    """Films of a run and, every so often among them, films with one fault."""
    names = tuple(SINGLE_FAULTS)
    plain = [Case(run=run, number=number) for number in range(films)]
    single = [
        Case(run=run + FAULTS_RUN, number=number, fault=names[number // len(VIEWS) % len(names)])
        for number in range(faults)
    ]
    among = [case for pair in zip(plain, single, strict=False) for case in pair]
    return [*among, *plain[len(single) :], *single[len(plain) :]]


def explained_film(case: Case) -> ExplainedFilm:
    """Make a film, explain it, judge that."""
    mouth, film, generator = film_of(case)
    found = judged(film, explained(film, generator))
    teeth = [mouth.teeth[code] for code in film.view.teeth if code in mouth.teeth]
    return ExplainedFilm(
        run=case.run,
        number=case.number,
        fault=case.fault,
        view=case.view,
        spread=case.spread,
        missing=case.missing,
        true=found.true,
        error=found.error,
        covered={part: bool(held) for part, held in found.covered.items()},
        verdict=found.verdict,
        first_cause=found.first_cause,
        marks=found.marks,
        misfit=found.misfit,
        turned_deg=float(np.mean([abs(tooth.rotation_deg) for tooth in teeth])),
        arch=mouth.upper.curve.value,
    )


def film_of(case: Case) -> tuple[Mouth, KnownFilm, np.random.Generator]:
    """A case's mouth, its film, and the generator as that leaves it."""
    generator = np.random.default_rng([case.run, case.number])
    mouth = strange_mouth(generator, spread=case.spread)
    usual, asked = Equipment.usual(), view(case.view)
    if case.fault is None:
        film = known_film(mouth, asked, usual, generator, missing_share=case.missing)
    else:
        film = single_fault(case.fault, mouth, asked, usual, generator)
    return mouth, film, generator


def left_to_do(wanted: Iterable[Case], done: Iterable[ExplainedFilm]) -> list[Case]:
    """The cases of which there is no line yet."""
    known = {(each.run, each.number) for each in done}
    return [case for case in wanted if (case.run, case.number) not in known]


def append_films(file: TextIO, films: Iterable[ExplainedFilm]) -> None:
    """Write each film's line as soon as it is there."""
    for each in films:
        file.write(json.dumps(asdict(each)) + "\n")
        file.flush()


def read_films(path: Path) -> list[ExplainedFilm]:
    """The films of a file, in the order of their cases; a line cut short at the end is left out."""
    lines = path.read_text(encoding="utf-8").splitlines() if path.exists() else []
    found = list(_whole(lines))
    return sorted(found, key=lambda each: (each.run, each.number))


def of_run(films: Sequence[ExplainedFilm], *, single_faults: bool) -> list[ExplainedFilm]:
    """The films with one fault, or the others."""
    return [each for each in films if (each.fault is not None) is single_faults]


def _whole(lines: list[str]) -> Iterator[ExplainedFilm]:
    for number, line in enumerate(lines, start=1):
        try:
            yield _film(json.loads(line))
        except json.JSONDecodeError:
            if number < len(lines):
                raise


def _film(entry: dict[str, Any]) -> ExplainedFilm:
    by_part = {
        name: {Part(part): value for part, value in entry[name].items()}
        for name in ("true", "error", "covered")
    }
    words = {"verdict": Verdict(entry["verdict"]), "first_cause": CauseName(entry["first_cause"])}
    return ExplainedFilm(
        **{each.name: entry[each.name] for each in fields(ExplainedFilm)} | by_part | words
    )


__all__ = [
    "VIEWS",
    "Case",
    "ExplainedFilm",
    "append_films",
    "cases",
    "explained_film",
    "film_of",
    "left_to_do",
    "of_run",
    "read_films",
]

"""How well films of known exposures in held-out mouths are explained, and what that costs in time.

``python benchmarks/explain.py --films 1200 --processes 2`` prints the tables of
docs/explain-accuracy.md; a few dozen films take a minute on one core. Reference for the
estimate: the plain answer "the tube is where this operator's tube always is", that is no movement
at all, and the mean movement needed over all films.
"""

import argparse
import statistics
import time
from collections.abc import Callable, Iterable
from concurrent.futures import ProcessPoolExecutor, ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np

from bitewright.explanation.correction import CauseName, Part, Verdict
from bitewright.mouth.mouth import Mouth
from bitewright.quality.views import view
from bitewright.row_bands import Threads
from trials.judged import Judged, estimated, explained, judged
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
TIMED = 12
SHOWN = (Part.SWING, Part.VERTICAL, Part.FORWARD, Part.HEIGHT)


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
class Result:
    """A case, its judgement, and what kind of mouth and film it was."""

    case: Case
    judged: Judged
    turned_deg: float
    arch: str


def main() -> None:
    """Run and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--films", type=int, default=48)
    parser.add_argument("--faults", type=int, default=24)
    parser.add_argument("--processes", type=int, default=1)
    parser.add_argument("--run", type=int, default=1, help="number of the run: other mouths")
    given = parser.parse_args()
    cases = [Case(run=given.run, number=number) for number in range(given.films)]
    names = tuple(SINGLE_FAULTS)
    faults = [
        Case(run=given.run + 1000, number=number, fault=names[number // len(VIEWS) % len(names)])
        for number in range(given.faults)
    ]
    with ProcessPoolExecutor(given.processes) as pool:
        results = list(pool.map(result, cases, chunksize=4))
        single = list(pool.map(result, faults, chunksize=4))
    _print_errors(results)
    _print_rates(results)
    _print_failures(results)
    _print_faults(single)
    _print_times()


def _print_times() -> None:
    """Time estimates alone and whole explanations, nothing else running."""
    estimates, wholes = [], []
    with ThreadPoolExecutor(2) as pool:
        threads = Threads(count=2, map=pool.map)
        for number in range(TIMED + 1):
            case = Case(run=5, number=number)
            generator = np.random.default_rng([case.run, case.number])
            film = _film(case, strange_mouth(generator), generator)
            start = time.perf_counter()
            estimated(film)
            middle = time.perf_counter()
            explained(film, generator, threads=threads)
            estimates.append(middle - start)
            wholes.append(time.perf_counter() - middle)
    # The first makes the population's directions, which are kept.
    alone, whole = (statistics.median(each[1:]) for each in (estimates, wholes))
    print(
        f"\nOne estimate {alone:.2f} s, one explanation {whole:.2f} s, medians of {TIMED} on 2 "
        f"threads; the first in a process {estimates[0]:.1f} s."
    )


def result(case: Case) -> Result:
    """Make a film, explain it, judge that."""
    generator = np.random.default_rng([case.run, case.number])
    mouth = strange_mouth(generator, spread=case.spread)
    film = _film(case, mouth, generator)
    said = explained(film, generator)
    teeth = [mouth.teeth[code] for code in film.view.teeth if code in mouth.teeth]
    return Result(
        case=case,
        judged=judged(film, said),
        turned_deg=float(np.mean([abs(tooth.rotation_deg) for tooth in teeth])),
        arch=mouth.upper.curve.value,
    )


def _film(case: Case, mouth: Mouth, generator: np.random.Generator) -> KnownFilm:
    if case.fault is None:
        return known_film(
            mouth, view(case.view), Equipment.usual(), generator, missing_share=case.missing
        )
    return single_fault(case.fault, mouth, view(case.view), Equipment.usual(), generator)


def _print_errors(results: list[Result]) -> None:
    print("| films | n | part | median error | 90th percentile | no movement, median | covered |")
    print("| --- | --- | --- | --- | --- | --- | --- |")
    groups: list[tuple[str, Callable[[Result], bool]]] = [("all", lambda _: True)]
    groups += [
        (
            f"all but {Verdict.CANNOT_TELL.value}",
            lambda r: r.judged.verdict is not Verdict.CANNOT_TELL,
        )
    ]
    groups += [(name, lambda r, name=name: r.case.view == name) for name in VIEWS]
    groups += [
        (f"spread {spread:g}", lambda r, spread=spread: r.case.spread == spread)
        for spread in SPREADS
    ]
    groups += [
        (f"{share:.0%} of marks missing", lambda r, share=share: r.case.missing == share)
        for share in MISSING
    ]
    for label, belongs in groups:
        own = [each for each in results if belongs(each)]
        for part in SHOWN if own else ():
            errors = np.abs([each.judged.error[part] for each in own])
            true = np.abs([each.judged.true[part] for each in own])
            covered = np.mean([each.judged.covered[part] for each in own])
            print(
                f"| {label} | {len(own)} | {part.value} | {np.median(errors):.2f} | "
                f"{np.quantile(errors, 0.9):.2f} | {np.median(true):.2f} | {covered:.1%} |"
            )


def _print_rates(results: list[Result]) -> None:
    needing = [each for each in results if abs(each.judged.true[Part.SWING]) > 5.0]
    right = [_same_way(each) for each in needing]
    full = [each for each in results if each.case.missing == 0.0]
    print(f"\nDirection of swing right where more than 5 degrees are needed: {_share(right)}")
    told = [each for each in needing if each.judged.verdict is not Verdict.CANNOT_TELL]
    print(f"The same, but for films that cannot tell: {_share([_same_way(e) for e in told])}")
    for label, own in (("full marks", full), ("all films", results)):
        cannot = [each.judged.verdict is Verdict.CANNOT_TELL for each in own]
        print(f"Cannot tell, {label}: {_share(cannot)}")


def _same_way(each: Result) -> bool:
    said = each.judged.error[Part.SWING] + each.judged.true[Part.SWING]
    return bool(said * each.judged.true[Part.SWING] > 0.0)


def _share(hits: Iterable[bool]) -> str:
    listed = list(hits)
    return f"{np.mean(listed):.1%} of {len(listed)}" if listed else "no film"


def _print_failures(results: list[Result]) -> None:
    print("\nShare of films with a swing error above 5 degrees, by third of each quantity:")
    print("| quantity | lowest third | middle | highest |")
    print("| --- | --- | --- | --- |")
    quantities: dict[str, Callable[[Result], float]] = {
        "mean rotation of the view's teeth": lambda r: r.turned_deg,
        "marks used": lambda r: r.judged.marks,
        "swing needed": lambda r: abs(r.judged.true[Part.SWING]),
        "vertical movement needed": lambda r: abs(r.judged.true[Part.VERTICAL]),
        "teeth held apart": lambda r: -r.judged.true[Part.CLOSURE],
        "misfit": lambda r: r.judged.misfit,
    }
    for name, quantity in quantities.items():
        ordered = sorted(results, key=quantity)
        thirds = np.array_split(np.array(ordered, dtype=object), 3)
        shares = [np.mean([abs(e.judged.error[Part.SWING]) > 5.0 for e in t]) for t in thirds]
        print(f"| {name} | " + " | ".join(f"{share:.1%}" for share in shares) + " |")
    for arch in ("polynomial", "beta"):
        own = [abs(e.judged.error[Part.SWING]) > 5.0 for e in results if e.arch == arch]
        print(f"{arch} arches: {_share(own)} above 5 degrees")


def _print_faults(results: list[Result]) -> None:
    print("\n| single fault | n | first cause right | most often said instead |")
    print("| --- | --- | --- | --- |")
    every = []
    for name, fault in SINGLE_FAULTS.items():
        own = [each for each in results if each.case.fault == name]
        hits = [each.judged.first_cause in fault.causes for each in own]
        every += hits
        wrong = [each.judged.first_cause for each, hit in zip(own, hits, strict=True) if not hit]
        often: CauseName | str = statistics.mode(wrong) if wrong else ""
        print(f"| {name} | {len(own)} | {_share(hits)} | {often} |")
    print(f"All single faults: {_share(every)}")


if __name__ == "__main__":
    main()

"""How often an audit says something of records in which nothing is going on, large and small.

``python -m benchmarks.simulated_records --records 100`` takes a few minutes on one core. With
``--out FILE`` every block of records is kept as a line of JSON as soon as it is done; started again
with the same file, a run that was stopped goes on. The run behind docs/audit-methods.md is

    python -m benchmarks.simulated_records --records 2000 --processes 16 --out FILE
    python -m builders.audit_tables --records FILE

Every record is a year of films that come by patients of 2 to 6, the patients' own rates
beta-distributed, so that a film is as likely spoilt as any other. Needs nothing but the audit.
"""

import argparse
import json
import sys
import time
from collections import Counter, defaultdict
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from bitewright.audit.counted_by import Dimension, Event
from bitewright.audit.dated_change import before_after
from bitewright.audit.groupings import by_period
from bitewright.audit.known_courses import KnownCourses, Season
from bitewright.audit.logged_exposures import LoggedExposures
from bitewright.audit.period_by_size import period_by_size
from bitewright.audit.rates import rates_by
from bitewright.audit.targets import TargetVerdict, grade_counts, grade_effects, target_standings
from bitewright.audit.weeks import series_of
from bitewright.audit.whole_audit import AuditSettings, chart_of, drift_of, unnamed_changes
from bitewright.quality.rating_schemes import rating_scheme

FIRST_DAY = 20089  # 2025-01-01
BLOCK = 50
RATE = 0.12
ON_THE_LINE = 0.05
SIZES = (60, 180, 500, 2000)
NULL_SIZES = (60, 180, 500, 2000, 12_000)
CORRELATIONS = (0.0, 0.2, 0.4)
CIRCUMSTANCES = (
    "alike",
    "independent",
    "wander",
    "season",
    "season-named",
    "learning",
    "learning-named",
)
NAMED = KnownCourses(
    seasons=(
        Season(name="winter", first_month=1, last_month=3),
        Season(name="spring", first_month=4, last_month=6),
        Season(name="summer", first_month=7, last_month=9),
    )
)
LEARNING = KnownCourses(learning=True)
OPERATORS = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """What is asked of how large a record. ``of``: target, coverage or null."""

    of: str
    films: int
    correlation: float
    circumstance: str = "alike"

    @property
    def name(self) -> str:
        """How a line of the file calls it."""
        return f"{self.of} {self.films} {self.correlation:g} {self.circumstance}"


def cells() -> Iterator[Cell]:
    """Everything that is run, the quick ones first."""
    for films in SIZES:
        for correlation in CORRELATIONS:
            yield Cell(of="target", films=films, correlation=correlation)
    for films in (60, 116, 180, 500):
        for correlation in (0.0, 0.3, 0.4):
            yield Cell(of="coverage", films=films, correlation=correlation)
    for films in NULL_SIZES:
        for name in CIRCUMSTANCES:
            correlation = 0.0 if name == "independent" else 0.3
            yield Cell(of="null", films=films, correlation=correlation, circumstance=name)


def main() -> None:
    """Run what is left to do, telling each block, and print the counts of all."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--records", type=int, default=100)
    parser.add_argument("--processes", type=int, default=1)
    parser.add_argument("--only", default="", help="cells whose name begins so")
    parser.add_argument("--out", type=Path, help="where lines are kept, and read from if there")
    given = parser.parse_args()
    done = read_blocks(given.out) if given.out and given.out.exists() else {}
    wanted = [
        (cell, block)
        for cell in cells()
        if cell.name.startswith(given.only)
        for block in range(-(-given.records // BLOCK))
    ]
    left = [(cell, block) for cell, block in wanted if (cell.name, block) not in done]
    began = time.perf_counter()
    with ProcessPoolExecutor(given.processes) as pool:
        for number, ((cell, block), counts) in enumerate(
            zip(left, pool.map(judged_block, *zip(*left, strict=True)), strict=True) if left else ()
        ):
            done[cell.name, block] = counts
            if given.out:
                with given.out.open("a", encoding="utf-8") as file:
                    file.write(
                        json.dumps({"cell": cell.name, "block": block, "counts": counts}) + "\n"
                    )
            took = time.perf_counter() - began
            print(f"{number + 1}/{len(left)} {took:.0f} s {cell.name}", file=sys.stderr, flush=True)
    for name, counts in totals(done).items():
        shares = ", ".join(
            f"{key} {count / counts['records']:.1%}"
            for key, count in counts.items()
            if key != "records"
        )
        print(f"{name} ({counts['records']}): {shares}")


def read_blocks(path: Path) -> dict[tuple[str, int], dict[str, int]]:
    """Counts of every block in a file; a line that was cut off is left out."""
    found = {}
    for line in path.read_text(encoding="utf-8").splitlines():
        if line.endswith("}}"):
            told = json.loads(line)
            found[told["cell"], told["block"]] = told["counts"]
    return found


def totals(blocks: dict[tuple[str, int], dict[str, int]]) -> dict[str, Counter[str]]:
    """Counts of every cell, all its blocks together."""
    found: dict[str, Counter[str]] = defaultdict(Counter)
    for (name, _), counts in blocks.items():
        found[name].update(counts)
    return found


def judged_block(cell: Cell, block: int) -> dict[str, int]:
    """Counts of what is said of a block of records."""
    return judged_records(cell, range(block * BLOCK, (block + 1) * BLOCK))


def judged_records(cell: Cell, seeds: range) -> dict[str, int]:
    """Counts of what is said of one record a seed."""
    judge = {"target": judged_target, "coverage": judged_coverage, "null": judged_null}[cell.of]
    counts: Counter[str] = Counter(records=0)
    for seed in seeds:
        rng = np.random.default_rng([seed, cell.films, round(100 * cell.correlation)])
        counts["records"] += 1
        for name, said in judge(cell, rng).items():
            counts[name] += bool(said)
    return dict(counts)


def judged_target(cell: Cell, rng: np.random.Generator) -> dict[str, bool]:
    """Whether a target met exactly is called missed, or met."""
    log = record(cell, rng, ON_THE_LINE)
    scheme = rating_scheme("uk-2020")
    found = target_standings(grade_counts(log, scheme), scheme, effects=grade_effects(log, scheme))
    verdicts = {standing.verdict for standing in found}
    return {
        "missed": TargetVerdict.MISSED in verdicts,
        "met": TargetVerdict.MET in verdicts,
    }


def judged_coverage(cell: Cell, rng: np.random.Generator) -> dict[str, bool]:
    """Whether the interval of the overall rate holds the truth."""
    log = record(cell, rng, RATE)
    share = rates_by(log, by_period(log, period_by_size(log)), Event.REJECT).overall
    return {"held": share.low <= RATE <= share.high}


def judged_null(cell: Cell, rng: np.random.Generator) -> dict[str, bool]:
    """What each question, asked alone at 5%, says of a record in which nothing changed."""
    log = record(cell, rng, RATE)
    named = {"season-named": NAMED, "learning-named": LEARNING}
    settings = AuditSettings(courses=named.get(cell.circumstance, KnownCourses()))
    weeks = series_of(log, log.rejected, courses=settings.courses)
    enough = len(weeks.starts) >= 8
    watch = drift_of(weeks, rng, 0.05)
    sums = None if watch is None else watch.cusum
    chart = chart_of(log, settings, period_by_size(log))
    (half,) = before_after(weeks, [("half way", FIRST_DAY + 181)])
    return {
        "unnamed change": enough and bool(unnamed_changes(weeks, (), rng, 0.05)),
        "drift": sums is not None and not (sums.signal_up is None and sums.signal_down is None),
        "named change": half.settled,
        "chart": chart is not None and bool(chart.out),
        "charted": chart is not None,
    }


def record(cell: Cell, rng: np.random.Generator, rate: float) -> LoggedExposures:
    """A year's films with nothing going on but what the circumstance says."""
    sizes = rng.integers(2, 7, size=cell.films)
    case = np.repeat(np.arange(cell.films), sizes)[: cell.films].astype(np.int32)
    patients = int(case[-1]) + 1
    open_days = np.arange(365)[(np.arange(365) + FIRST_DAY + 3) % 7 < 5]
    day = np.sort(rng.choice(open_days, patients))
    operator = rng.integers(OPERATORS, size=patients)
    usual = np.clip(rate * course(cell.circumstance, day, rng), 0.001, 0.9)
    if cell.correlation:
        both = 1.0 / cell.correlation - 1.0
        usual = rng.beta(usual * both, (1.0 - usual) * both)
    rejected = rng.random(cell.films) < usual[case]
    nothing = np.empty(0, dtype=np.int32)
    return LoggedExposures(
        labels={
            Dimension.CASE: tuple(f"p{k}" for k in range(patients)),
            Dimension.OPERATOR: tuple(f"o{k}" for k in range(OPERATORS)),
        },
        codes={Dimension.CASE: case, Dimension.OPERATOR: operator[case].astype(np.int32)},
        day=(FIRST_DAY + day[case]).astype(np.int32),
        rejected=rejected,
        retake=np.zeros(cell.films, dtype=np.bool_),
        retake_succeeded=np.full(cell.films, -1, dtype=np.int8),
        rating_labels=("uk-2020:A", "uk-2020:N"),
        rating=rejected.astype(np.int32),
        fault_labels=(),
        fault_row=nothing,
        fault=nothing.astype(np.int16),
        fault_size=nothing.astype(np.float32),
        numbers={},
    )


def course(circumstance: str, day: np.ndarray, rng: np.random.Generator) -> np.ndarray:
    """How many times as high as usual the rate is on each day."""
    week = day // 7
    if circumstance == "wander":
        # Neighbouring weeks correlated 0.6, standard deviation 15%.
        steps = rng.normal(0.0, 0.15 * np.sqrt(1 - 0.6**2), 54)
        steps[0] = rng.normal(0.0, 0.15)
        for k in range(1, 54):
            steps[k] += 0.6 * steps[k - 1]
        return np.asarray(np.exp(steps)[week])
    if circumstance.startswith("season"):
        quarter = (day * 4) // 365
        return np.asarray(np.array([1.2, 1.0, 0.8, 1.0])[quarter])
    if circumstance.startswith("learning"):
        # Everybody begins in the first week; odds fall by a tenth with each doubling of weeks.
        return np.asarray(1.4 * 0.9 ** np.log2(1.0 + week))
    return np.ones(len(day))


if __name__ == "__main__":
    main()

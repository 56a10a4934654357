"""How often an audit finds what was planted in simulated school years, and what was not.

Half of the years have new receptors in month 4 (10% to 16% rejects), another technique in month 8
(16% to 9%), when the clinic is closed for two weeks, and two students who aim 6 degrees off; the
other half have nothing. Films come by patients. Every figure is a share of years, except coverage,
which is of intervals. ``python -m benchmarks.simulated_years --years 40`` takes a minute or two on
one core. With ``--out FILE`` each year is kept as a line of JSON as soon as it is judged; started
again with the same file, a run that was stopped goes on. The run behind docs/audit-methods.md is

    python -m benchmarks.simulated_years --years 1000 --processes 16 --out FILE
    python -m builders.audit_tables --years FILE
"""

import argparse
import json
import sys
from collections import Counter
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

import numpy as np

from bitewright.audit.counted_by import Dimension, Period
from bitewright.audit.dated_change import Series
from bitewright.audit.pooled_means import WORTH_SAYING
from bitewright.audit.simulated_school import SchoolPlan, SimulatedSchool, simulated_school
from bitewright.audit.unexplained_change import change_points
from bitewright.audit.whole_audit import Audit, AuditSettings, whole_audit
from bitewright.exposing.scatter import AimPart

PLAN = SchoolPlan(first_day=20089)  # 2025-01-01
NEAR_DAYS = 21
NEAR_OPEN_WEEKS = 3
NAMES = ("new receptors", "changed technique")
ERROR_BANDS = ((0.0, 0.5), (0.5, 0.6), (0.6, np.inf))
"""Standard errors of a biased student's mean from their own films, from and below. [degrees]"""
KINDS = {"with the effects": PLAN, "without": PLAN.without_effects()}


def main() -> None:
    """Judge what years are left, telling each, and print the figures of all."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--years", type=int, default=40)
    parser.add_argument("--processes", type=int, default=1)
    parser.add_argument("--out", type=Path, help="where lines are kept, and read from if there")
    given = parser.parse_args()
    done = read_years(given.out) if given.out and given.out.exists() else {}
    wanted = [(kind, seed) for kind in KINDS for seed in range(given.years)]
    left = [each for each in wanted if each not in done]
    with ProcessPoolExecutor(given.processes) as pool:
        for (kind, seed), counts in zip(left, pool.map(judged_year, left), strict=True):
            done[kind, seed] = counts
            if given.out:
                with given.out.open("a", encoding="utf-8") as file:
                    line = {"year": kind, "seed": seed, "counts": counts}
                    file.write(json.dumps(line) + "\n")
            print(f"year {seed} {kind}", file=sys.stderr, flush=True)
    for kind in KINDS:
        found = together(done, kind)
        print(f"{found['years']} years {kind}:")
        for name in found:
            if not name.startswith("of ") and name != "years":
                among = found.get(f"of {name}", found["years"])
                print(f"  {name:58s} {found[name] / among:7.1%}")


def read_years(path: Path) -> dict[tuple[str, int], dict[str, int]]:
    """Counts of every year in a file; a line that was cut off is left out."""
    lines = path.read_text(encoding="utf-8").splitlines()
    told = [json.loads(line) for line in lines if line.endswith("}}") and '"year"' in line]
    return {(each["year"], each["seed"]): each["counts"] for each in told}


def together(years: dict[tuple[str, int], dict[str, int]], kind: str) -> Counter[str]:
    """Counts of all years of a kind, and how many there are."""
    found: Counter[str] = Counter()
    for (of, _), counts in years.items():
        if of == kind:
            found.update(counts)
            found["years"] += 1
    return found


def judged_year(which: tuple[str, int]) -> dict[str, int]:
    """What the audit of one year says, as counts."""
    kind, seed = which
    school = simulated_school(KINDS[kind], np.random.default_rng(seed))
    return {name: int(count) for name, count in judged(school, seed).items()}


def judged(school: SimulatedSchool, seed: int) -> Counter[str]:
    """What one year's audit says, as counts."""
    plan = school.plan
    named = tuple(zip(NAMES, (plan.receptor_day, plan.training_day), strict=True))
    settings = AuditSettings(changes=named, period=Period.MONTH)
    told = whole_audit(school.log, settings, np.random.default_rng(seed))
    counts: Counter[str] = Counter()
    for change in told.changes:
        counts[f"{change.name}: before and after differ"] += change.settled
        counts[f"{change.name}: and it came with the day"] += change.came_with_the_day
    undated = change_points(
        told.weeks, rng=np.random.default_rng(seed), false_alarm=told.each_chance
    )
    days = [point.day for point in undated]
    counts["an undated change near month 4 (3 weeks)"] += near(days, plan.receptor_day)
    counts["an undated change near month 8 (3 weeks)"] += near(days, plan.training_day)
    for month, truth in ((4, plan.receptor_day), (8, plan.training_day)):
        name = f"an undated change near month {month} (3 open weeks)"
        counts[name] += near_open(told.weeks.starts, days, truth)
        spans = [(point.first_day, point.last_day) for point in undated]
        # A week that holds the day may be either side's.
        held = any(first - 7 <= truth < last + 7 for first, last in spans)
        counts[f"the range of weeks holds the day in month {month}"] += held
    if plan.biased:
        counts.update(dated_by_known_rates(told.weeks, plan))
    counts["any undated change"] += bool(undated)
    counts["a change beside the named ones"] += bool(told.points)
    counts["drift signalled by the cusum"] += drifted(told)
    counts["an operator beyond the funnel who is not biased"] += any(
        o.beyond and o.label not in school.biased for o in told.funnel.operators
    )
    remarked = {aim.label for aim in told.aims if aim.remarked}
    for k, label in enumerate(school.biased):
        counts[f"student {k + 1} with a biased aim"] += label in remarked
    counts.update(found_by_error(school, told))
    counts["a student remarked on who was not planted"] += bool(remarked - set(school.biased))
    counts["a remark on a part that is truly within its limit"] += bool(wrong_remarks(school, told))
    found = bool(
        told.points
        or drifted(told)
        or any(change.settled for change in told.changes)
        or any(o.beyond for o in told.funnel.operators)
    )
    counts["anything at all"] += found or bool(remarked)
    if not school.biased:
        counts["anything that is not there"] += found or bool(wrong_remarks(school, told))
    counts.update(coverage(school, told))
    return counts


def dated_by_known_rates(weeks: Series, plan: SchoolPlan) -> Counter[str]:
    """Both planted changes dated by somebody who knows all rates and the other change's day."""
    counts: Counter[str] = Counter()
    other = int(np.searchsorted(weeks.starts, plan.receptor_day))
    end = int(np.searchsorted(weeks.starts, plan.training_day))
    rates = (plan.rate_at_first, plan.rate_with_new_receptors, plan.rate_after_training)
    for month, truth, part, before, after in (
        (4, plan.receptor_day, weeks.part(0, end), *rates[:2]),
        (8, plan.training_day, weeks.part(other, len(weeks.starts)), *rates[1:]),
    ):
        kept = part.totals - part.counts
        gains = part.counts * np.log(before / after) + kept * np.log((1 - before) / (1 - after))
        days = [int(part.starts[1 + int(np.cumsum(gains)[:-1].argmax())])]
        name = f"dated by somebody who knows all rates, month {month}"
        counts[f"{name} (3 weeks)"] += near(days, truth)
        counts[f"{name} (3 open weeks)"] += near_open(weeks.starts, days, truth)
    return counts


def found_by_error(school: SimulatedSchool, told: Audit) -> Counter[str]:
    """Biased students found, by the standard error of the mean of their own films."""
    counts: Counter[str] = Counter()
    for aim in told.aims:
        if aim.label in school.biased:
            error = aim.learned.means[0].error(aim.learned.place)
            name = next(error_words(band) for band in ERROR_BANDS if band[0] <= error < band[1])
            counts[name] += bool(aim.remarked)
            counts[f"of {name}"] += 1
    return counts


def error_words(band: tuple[float, float]) -> str:
    """Name of what is counted of students whose standard error lies in a band."""
    return f"biased students with a standard error from {band[0]:g} to {band[1]:g} degrees"


def near(days: list[int], truth: int) -> bool:
    """Whether any day found lies within three weeks of the true one."""
    return any(abs(day - truth) <= NEAR_DAYS for day in days)


def near_open(weeks: np.ndarray, days: list[int], truth: int) -> bool:
    """Whether any day found lies within three weeks with exposures (G,) of the true one."""
    place = int(np.searchsorted(weeks, truth))
    places = [int(np.searchsorted(weeks, day)) for day in days]
    return any(abs(each - place) <= NEAR_OPEN_WEEKS for each in places)


def drifted(told: Audit) -> bool:
    """Whether the drift watch passed its limit."""
    watch = told.drift
    return watch is not None and not (
        watch.cusum.signal_up is None and watch.cusum.signal_down is None
    )


def wrong_remarks(school: SimulatedSchool, told: Audit) -> int:
    """Remarks on a mean that in truth is not worth one."""
    place = {name: k for k, name in enumerate(school.log.names(Dimension.OPERATOR))}
    return sum(
        abs(school.means[part.part][place[aim.label]]) <= WORTH_SAYING[part.part]
        for aim in told.aims
        for part in aim.remarked
    )


def coverage(school: SimulatedSchool, told: Audit) -> Counter[str]:
    """Intervals of operators' means that hold the truth, of all of them."""
    names = {name: k for k, name in enumerate(school.log.names(Dimension.OPERATOR))}
    counts: Counter[str] = Counter()
    for aim in told.aims:
        for part in aim.parts:
            truth = school.means[AimPart(part.part)][names[aim.label]]
            kinds = [f"95% intervals of {part.part.value} hold"]
            if part.part is AimPart.CONTACT_ERROR and aim.label in school.biased:
                kinds.append("95% intervals of the biased students hold")
            for kind in kinds:
                counts[kind] += part.low <= truth <= part.high
                counts[f"of {kind}"] += 1
    return counts


if __name__ == "__main__":
    main()

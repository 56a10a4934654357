"""How often an audit finds what was planted in simulated school years, and what was not.

Half of the years have new receptors in month 4 (10% to 16% rejects), another technique in month 8
(16% to 9%) and two students who aim 6 degrees off; the other half have nothing. Every figure is a
share of years, except coverage, which is of intervals.
``python -m benchmarks.simulated_years 200``.
"""

import sys
from collections import Counter

import numpy as np

from bitewright.audit.counted_by import Dimension, Period
from bitewright.audit.pooled_means import WORTH_SAYING
from bitewright.audit.simulated_school import SchoolPlan, SimulatedSchool, simulated_school
from bitewright.audit.unexplained_change import change_points
from bitewright.audit.whole_audit import Audit, AuditSettings, whole_audit
from bitewright.exposing.scatter import AimPart

PLAN = SchoolPlan(first_day=20089)  # 2025-01-01
NEAR_DAYS = 21
NAMES = ("new receptors", "changed technique")


def main() -> None:
    """Print the figures."""
    years = int(sys.argv[1]) if len(sys.argv) > 1 else 40
    for plan, title in ((PLAN, "with the effects"), (PLAN.without_effects(), "without")):
        found: Counter[str] = Counter()
        for seed in range(years):
            school = simulated_school(plan, np.random.default_rng(seed))
            found.update(judged(school, seed))
        print(f"{years} years {title}:")
        for name in found:
            if not name.startswith("of "):
                among = found.get(f"of {name}", years)
                print(f"  {name:58s} {found[name] / among:7.1%}")


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
    counts["any undated change"] += bool(undated)
    counts["a change beside the named ones"] += bool(told.points)
    counts["drift signalled by the cusum"] += drifted(told)
    counts["an operator beyond the funnel who is not biased"] += any(
        o.beyond and o.label not in school.biased for o in told.funnel.operators
    )
    remarked = {aim.label for aim in told.aims if aim.remarked}
    for k, label in enumerate(school.biased):
        counts[f"student {k + 1} with a biased aim"] += label in remarked
    counts["a student remarked on who was not planted"] += bool(remarked - set(school.biased))
    counts["a remark on a part that is truly within its limit"] += bool(wrong_remarks(school, told))
    counts["anything at all"] += bool(
        told.points
        or remarked
        or drifted(told)
        or any(change.settled for change in told.changes)
        or any(o.beyond for o in told.funnel.operators)
    )
    counts.update(coverage(school, told))
    return counts


def near(days: list[int], truth: int) -> bool:
    """Whether any day found lies within three weeks of the true one."""
    return any(abs(day - truth) <= NEAR_DAYS for day in days)


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

"""A two-cycle audit: a standard, a first sample, what was changed, a second sample.

Contents after common published templates (Br Dent J 2011, sj.bdj.2011.202: six-step cycle).
"""

from dataclasses import dataclass

from bitewright.audit.proportions import ShareDifference, difference_of
from bitewright.audit.sample_size import images_for_change
from bitewright.audit.targets import TargetStanding, target_standings
from bitewright.quality.rating_schemes import RatingScheme


@dataclass(frozen=True, slots=True, kw_only=True)
class CycleAction:
    """What somebody is to do by when."""

    what: str
    owner: str
    by_date: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Cycle:
    """One sample: when, how drawn, and how many images of each grade."""

    date: str
    sample: str
    grades: dict[str, int]
    causes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class AuditPlan:
    """A whole audit as it is written down."""

    subject: str
    scheme: RatingScheme
    film: bool
    own_targets: dict[str, float]
    first: Cycle
    actions: tuple[CycleAction, ...]
    reaudit_date: str
    second: Cycle | None = None
    learned: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CycleComparison:
    """Standings of one or two cycles, and each grade's change.

    ``images_needed``: in each cycle, to see the change of each grade that was found; None where
    there was none.
    """

    plan: AuditPlan
    first: tuple[TargetStanding, ...]
    second: tuple[TargetStanding, ...]
    changes: dict[str, ShareDifference]
    images_needed: dict[str, int | None]


def compare_cycles(plan: AuditPlan) -> CycleComparison:
    """Set both cycles against the standard, and against each other (Newcombe's interval).

    Source: Newcombe RG, Stat Med 1998;17:873-90.
    """
    first = _standings(plan, plan.first)
    second = _standings(plan, plan.second) if plan.second is not None else ()
    changes, needed = {}, {}
    for before, after in zip(first, second, strict=False):
        changes[before.grade] = difference_of(
            (before.share.count, before.share.total), (after.share.count, after.share.total)
        )
        one, two = before.share.share, after.share.share
        needed[before.grade] = (
            images_for_change(one, two) if one != two and 0 < one < 1 and 0 < two < 1 else None
        )
    return CycleComparison(
        plan=plan, first=first, second=second, changes=changes, images_needed=needed
    )


def _standings(plan: AuditPlan, cycle: Cycle) -> tuple[TargetStanding, ...]:
    return target_standings(cycle.grades, plan.scheme, film=plan.film, own=plan.own_targets)


__all__ = ["AuditPlan", "Cycle", "CycleAction", "CycleComparison", "compare_cycles"]

"""A two-cycle audit: a standard, a first sample, what was changed, a second sample.

Contents after common published templates (Br Dent J 2011, sj.bdj.2011.202: six-step cycle).
"""

from dataclasses import dataclass
from math import ceil

from bitewright.audit.design_effect import CORRELATION_SD, USUAL_CORRELATION, DesignEffect, Likeness
from bitewright.audit.proportions import ShareDifference, difference_of
from bitewright.audit.sample_size import images_for_change
from bitewright.audit.targets import TargetStanding, target_standings
from bitewright.errors import BitewrightError, plainly
from bitewright.quality.rating_schemes import RatingScheme


class TooManyPatientsError(BitewrightError):
    """A sample is said to be of more patients than it has images."""

    def __init__(self, date: str, patients: int, images: int) -> None:
        super().__init__(
            f"The sample of {plainly(date)} is said to be of {patients} patients and has {images} "
            "images: give as many patients as images at most, or leave them out."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class CycleAction:
    """What somebody is to do by when."""

    what: str
    owner: str
    by_date: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Cycle:
    """One sample: when, how drawn, and how many images of each grade.

    ``patients``: how many they are of; None where nobody counted, and each is taken to be of
    another.
    """

    date: str
    sample: str
    grades: dict[str, int]
    causes: tuple[str, ...] = ()
    patients: int | None = None

    def __post_init__(self) -> None:
        images = sum(self.grades.values())
        if self.patients is not None and self.patients > images:
            raise TooManyPatientsError(self.date, self.patients, images)

    def design_effect(self) -> DesignEffect:
        """What images of one patient being alike does to a share of this sample.

        As alike as films usually are, and as many of each patient: a count of grades tells no more.
        """
        images = sum(self.grades.values())
        beside = 0.0 if self.patients is None else images / self.patients - 1.0
        usual = Likeness(
            correlation=USUAL_CORRELATION,
            sd=CORRELATION_SD,
            cases=self.patients or images,
            not_given=0,
        )
        return usual.effect_beside(beside)


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
    effects = (plan.first.design_effect(), (plan.second or plan.first).design_effect())
    worse = float(max(each.value for each in effects))
    for before, after in zip(first, second, strict=False):
        changes[before.grade] = difference_of(
            (before.share.count, before.share.total),
            (after.share.count, after.share.total),
            design_effect=effects,
        )
        one, two = before.share.share, after.share.share
        needed[before.grade] = (
            ceil(worse * images_for_change(one, two))
            if one != two and 0 < one < 1 and 0 < two < 1
            else None
        )
    return CycleComparison(
        plan=plan, first=first, second=second, changes=changes, images_needed=needed
    )


def _standings(plan: AuditPlan, cycle: Cycle) -> tuple[TargetStanding, ...]:
    effect = cycle.design_effect()
    return target_standings(
        cycle.grades,
        plan.scheme,
        film=plan.film,
        own=plan.own_targets,
        effects=dict.fromkeys(plan.scheme.targets_digital, effect),
    )


__all__ = [
    "AuditPlan",
    "Cycle",
    "CycleAction",
    "CycleComparison",
    "TooManyPatientsError",
    "compare_cycles",
]

"""Grades against a scheme's targets: met, missed, or too few to tell."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from bitewright.audit.cases import cases_of
from bitewright.audit.counted_by import Dimension
from bitewright.audit.design_effect import DesignEffect, likeness_of
from bitewright.audit.logged_exposures import LoggedExposures
from bitewright.audit.proportions import Share, share_of
from bitewright.errors import BitewrightError
from bitewright.quality.rating_schemes import RatingScheme


class TargetVerdict(StrEnum):
    """What may be said about a target."""

    MET = "met"
    MISSED = "missed"
    TOO_FEW = "too-few"


class NoSuchGradeError(BitewrightError):
    """A target is set for a grade that the scheme does not have."""

    def __init__(self, grade: str, scheme: str, known: tuple[str, ...]) -> None:
        self.grade = grade
        super().__init__(
            f"Grade '{grade[:20]}' is not in the scheme {scheme}: "
            f"set targets for {', '.join(known)}."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class TargetStanding:
    """One grade's share against its target.

    ``at_least``: the target is a least share (the best grade); otherwise it is a greatest one.
    """

    grade: str
    share: Share
    target: float
    at_least: bool
    verdict: TargetVerdict

    @property
    def falls_short(self) -> bool:
        """Whether the bare share, chance left aside, is on the wrong side of the target."""
        return self.share.share < self.target if self.at_least else self.share.share > self.target


def target_standings(
    grades: Mapping[str, int],
    scheme: RatingScheme,
    *,
    film: bool = False,
    own: Mapping[str, float] | None = None,
    effects: Mapping[str, DesignEffect] | None = None,
) -> tuple[TargetStanding, ...]:
    """Each grade's share against a scheme's targets, or against targets of one's own.

    A verdict needs the whole of Wilson's interval (1927) on one side of the target: our choice.

    Parameters
    ----------
    grades : mapping of str to int
        Number of images of each grade.
    scheme : RatingScheme
    film : bool
        Targets for film instead of digital receptors.
    own : mapping of str to float, optional
        Targets of one's own by grade; those left out are the scheme's.
    effects : mapping of str to DesignEffect, optional
        By grade; a grade left out has its images taken as independent.

    Raises
    ------
    NoSuchGradeError
    """
    targets = dict(scheme.targets_film if film else scheme.targets_digital)
    for grade in (*grades, *(own or {})):
        if grade not in targets:
            raise NoSuchGradeError(grade, scheme.name, tuple(targets))
    targets |= own or {}
    total = sum(grades.values())
    best = scheme.grades["all_met"]
    known = effects or {}
    return tuple(
        _standing(
            grade,
            share_of(grades.get(grade, 0), total, design_effect=known.get(grade, 1.0)),
            target,
            at_least=grade == best,
        )
        for grade, target in targets.items()
    )


def grade_counts(log: LoggedExposures, scheme: RatingScheme) -> dict[str, int]:
    """How many exposures of the log have each grade of a scheme."""
    counts = np.bincount(log.rating[log.rating >= 0], minlength=len(log.rating_labels))
    return {
        grade: sum(
            int(count)
            for label, count in zip(log.rating_labels, counts, strict=True)
            if label == f"{scheme.name}:{grade}"
        )
        for grade in scheme.targets_digital
    }


def grade_effects(log: LoggedExposures, scheme: RatingScheme) -> dict[str, DesignEffect]:
    """Of each grade's share among the exposures rated under a scheme, cases being the clusters."""
    grades = [f"{scheme.name}:{grade}" for grade in scheme.targets_digital]
    grade_of_label = {label: grades.index(label) for label in log.rating_labels if label in grades}
    place = np.array([*(grade_of_label.get(label, -1) for label in log.rating_labels), -1])
    graded = place[log.rating]
    cases, given = log.cases, graded >= 0
    if not given.all():
        cases, graded = cases_of(log.code(Dimension.CASE)[given]), graded[given]
    return {
        grade: likeness_of(graded == number, cases).design_effect(cases)
        for number, grade in enumerate(scheme.targets_digital)
    }


def _standing(grade: str, share: Share, target: float, *, at_least: bool) -> TargetStanding:
    met = share.low >= target if at_least else share.high <= target
    missed = share.high < target if at_least else share.low > target
    told = share.total > 0
    verdict = (
        TargetVerdict.MET if met and told else TargetVerdict.MISSED if missed and told else None
    )
    return TargetStanding(
        grade=grade,
        share=share,
        target=target,
        at_least=at_least,
        verdict=verdict or TargetVerdict.TOO_FEW,
    )


__all__ = [
    "NoSuchGradeError",
    "TargetStanding",
    "TargetVerdict",
    "grade_counts",
    "grade_effects",
    "target_standings",
]

"""An invented teaching clinic's year, with truths planted in it: demo data, and a test of audits.

Nobody and nothing in it is real. Reject rates are near the published pooled ones; how much people
and weeks differ is our choice. Views and biased aims spoil as many films more as the planner says
they do, and films come by patients.
"""

import tomllib
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.special import betaincinv

from bitewright.audit.counted_by import Dimension
from bitewright.audit.design_effect import USUAL_CORRELATION
from bitewright.audit.logged_exposures import LoggedExposures
from bitewright.audit.operator_aim import UNCERTAINTY
from bitewright.audit.pooled_means import WORTH_SAYING
from bitewright.exposing.scatter import AimPart

Floats = NDArray[np.float64]

CLINICS = ("north clinic", "south clinic", "evening clinic")
LEVELS = ("third year", "fourth year", "fifth year")
VIEWS = ("right-premolar", "right-molar", "left-premolar", "left-molar")
REASONS = ("recall higher risk", "recall lower risk", "new patient")
RECEPTORS = ("plate-2", "sensor-2")
HOLDERS = ("ring-holder",)
RATINGS = ("uk-2020:A", "uk-2020:N")
FAULTS = {
    "overlap": (0.42, 0.7),
    "receptor-placement": (0.24, 4.0),
    "vertical-angle": (0.13, 8.0),
    "cone-cut": (0.12, 5.0),
    "exposure": (0.06, float("nan")),
    "movement": (0.03, float("nan")),
}
"""Share of faults and typical size. [mm or degrees] Shares near those of students' bitewings in
Compend Oral Sci 2020;7(1):32-40, rounded; sizes are our choice."""

CLOSED_WEEKS = (15, 31, 32, 51)
"""Weeks of the year without clinic; two of them in the eighth month, when the technique changes."""
KEPT_OF_N = 0.25
"""Share of the films a criterion spoils that are kept: the question could be answered. Our
choice."""
OPERATOR_SD = 0.25
WEEK_SD = 0.08
AIM_SD = {"contact_error_deg": 1.2, "vertical_error_deg": 1.0, "forward_mm": 0.8, "height_mm": 0.5}
SCATTER_SD = {
    "contact_error_deg": 3.5,
    "vertical_error_deg": 3.0,
    "forward_mm": 2.5,
    "height_mm": 1.5,
}
SCATTER_VARIES = 0.2
ASSESSED = 0.4
RETAKEN = 0.85


@dataclass(frozen=True, slots=True, kw_only=True)
class SchoolPlan:
    """What is planted in a year. Rates are shares of all exposures.

    Parameters
    ----------
    first_day : int
        First day of the year. [days since 1970-01-01]
    exposures, students : int
    rate_at_first : float
        Before the new receptors.
    rate_with_new_receptors : float
        From the first day of the fourth month.
    rate_after_training : float
        From the first day of the eighth month, when the technique is changed.
    biased : tuple of float
        Aim bias of the first few students drawn. [degrees of contact error]
    """

    first_day: int
    exposures: int = 12_000
    students: int = 90
    rate_at_first: float = 0.10
    rate_with_new_receptors: float = 0.16
    rate_after_training: float = 0.09
    biased: tuple[float, ...] = (6.0, -6.0)

    def without_effects(self) -> "SchoolPlan":
        """The same school in a year in which nothing changes and nobody is biased."""
        return SchoolPlan(
            first_day=self.first_day,
            exposures=self.exposures,
            students=self.students,
            rate_at_first=0.12,
            rate_with_new_receptors=0.12,
            rate_after_training=0.12,
            biased=(),
        )

    def month_start(self, month: int) -> int:
        """First day of a month of the year, 1 to 13. [days since 1970-01-01]"""
        start = np.datetime64(self.first_day, "D").astype("datetime64[M]") + (month - 1)
        return int(start.astype("datetime64[D]").astype(np.int64))

    @property
    def receptor_day(self) -> int:
        """The day the new receptors came."""
        return self.month_start(4)

    @property
    def training_day(self) -> int:
        """The day the technique changed."""
        return self.month_start(8)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SimulatedSchool:
    """A year's exposures and the truth behind them.

    ``means``: each student's true mean of each part of aim; ``scatters``: standard deviations,
    (students,). ``biased``: labels of the students with a planted bias.
    """

    log: LoggedExposures
    plan: SchoolPlan
    means: dict[AimPart, Floats]
    scatters: dict[AimPart, Floats]
    biased: tuple[str, ...]

    @property
    def by_chance(self) -> tuple[str, ...]:
        """Students who were not planted and whose true mean is worth saying all the same."""
        off = np.any([np.abs(self.means[part]) > WORTH_SAYING[part] for part in AimPart], axis=0)
        names = self.log.names(Dimension.OPERATOR)
        return tuple(names[int(k)] for k in np.flatnonzero(off) if names[int(k)] not in self.biased)


def simulated_school(plan: SchoolPlan, rng: np.random.Generator) -> SimulatedSchool:
    """Draw a year.

    Our model: rates near the published pooled ones (`expected_rates`), what a view and a bias cost
    as the planner has it, spreads our choice.
    """
    n = plan.exposures
    case, day = _cases(plan, rng)
    student = rng.integers(plan.students, size=int(case.max()) + 1)[case]
    ability = _centred(rng.normal(0.0, OPERATOR_SD, plan.students))
    means = {p: rng.normal(0.0, AIM_SD[p.value], plan.students) for p in AimPart}
    biased = rng.permutation(plan.students)[: len(plan.biased)]
    means[AimPart.CONTACT_ERROR][biased] = plan.biased
    scatters = {
        p: SCATTER_SD[p.value] * np.exp(rng.normal(0.0, SCATTER_VARIES, plan.students))
        for p in AimPart
    }
    view = rng.integers(len(VIEWS), size=n)
    costs = planned_costs(means[AimPart.CONTACT_ERROR])
    week = _centred(rng.normal(0.0, WEEK_SD, 54))[(day - plan.first_day) // 7]
    rate = _rate(plan, day) * np.exp(ability[student] + week) * costs[student, view] / costs.mean()
    rate = _by_patient(np.minimum(rate, 0.9), case, rng)
    rejected = rng.random(n) < rate
    kept_though_n = rng.random(n) < _kept_though_n(rate)
    retake = np.zeros(n, dtype=np.bool_)
    same_case = case[1:] == case[:-1]
    retake[1:] = rejected[:-1] & same_case & (rng.random(n - 1) < RETAKEN)
    view = view[np.maximum.accumulate(np.where(retake, 0, np.arange(n)))]
    fault_row, fault, size = _faults(rejected, rng)
    aim = _aim(means, scatters, student, rng)
    shared = _people_and_places(plan, student, day, rng)
    log = LoggedExposures(
        labels=shared[0]
        | {
            Dimension.VIEW: VIEWS,
            Dimension.CASE: tuple(f"case-{k + 1:05d}" for k in range(int(case.max()) + 1)),
        },
        codes=shared[1] | {Dimension.VIEW: view.astype(np.int32), Dimension.CASE: case},
        day=day.astype(np.int32),
        rejected=rejected,
        retake=retake,
        retake_succeeded=np.where(retake, ~rejected, -1).astype(np.int8),
        rating_labels=RATINGS,
        rating=(rejected | kept_though_n).astype(np.int32),
        fault_labels=tuple(FAULTS),
        fault_row=fault_row,
        fault=fault,
        fault_size=size,
        numbers=aim,
    )
    names = log.names(Dimension.OPERATOR)
    return SimulatedSchool(
        log=log,
        plan=plan,
        means=means,
        scatters=scatters,
        biased=tuple(names[int(k)] for k in biased),
    )


def _cases(
    plan: SchoolPlan, rng: np.random.Generator
) -> tuple[NDArray[np.int32], NDArray[np.int64]]:
    """Case and day of each exposure, in order of time; two to four exposures a case.

    Clinics are open from Monday to Friday, and closed in `CLOSED_WEEKS`.
    """
    every = np.arange(plan.first_day, plan.month_start(13))
    closed = np.isin((every - plan.first_day) // 7, CLOSED_WEEKS)
    open_days = every[((every + 3) % 7 < 5) & ~closed]
    sizes = rng.integers(2, 5, size=plan.exposures // 2 + 1)
    case = np.repeat(np.arange(len(sizes)), sizes)[: plan.exposures].astype(np.int32)
    days = np.sort(rng.choice(open_days, size=int(case.max()) + 1))
    return case, days[case]


def _rate(plan: SchoolPlan, day: NDArray[np.int64]) -> Floats:
    return np.where(
        day >= plan.training_day,
        plan.rate_after_training,
        np.where(day >= plan.receptor_day, plan.rate_with_new_receptors, plan.rate_at_first),
    )


def planned_costs(contact_error_deg: Floats) -> Floats:
    """How often a criterion fails for students of these mean contact errors, (students, 4 views).

    As the planner has it for plates, between the means it was asked for.
    """
    table = planned_odds()
    by_view = [
        np.interp(contact_error_deg, table["means_deg"], table["plate-2"][f"right-{name}"])
        for name in ("premolar", "molar")
    ]
    return np.stack([by_view[view.endswith("-molar")] for view in VIEWS], axis=1)


@lru_cache(maxsize=1)
def planned_odds() -> dict[str, Any]:
    """Chances that a criterion fails, by receptor and view, for each of ``means_deg``."""
    text = (files("bitewright.audit") / "tables" / "school_odds.toml").read_text("utf-8")
    return tomllib.loads(text)


def _by_patient(rate: Floats, case: NDArray[np.int32], rng: np.random.Generator) -> Floats:
    """Rates of exposures of patients who differ: beta distributed about what they were.

    All exposures of a patient lie at the same place of their distribution, so that two of them are
    correlated as usual.
    """
    place = rng.random(int(case.max()) + 1)[case]
    both = 1.0 / USUAL_CORRELATION - 1.0
    return np.asarray(betaincinv(rate * both, (1.0 - rate) * both, place), dtype=np.float64)


def _kept_though_n(rate: Floats) -> Floats:
    """Chance that an exposure that is kept is graded N."""
    return np.minimum(rate * KEPT_OF_N / (1.0 - KEPT_OF_N) / np.maximum(1.0 - rate, 1e-9), 1.0)


def _centred(effect: Floats) -> Floats:
    """Effects whose exponentials have mean 1, so that planted rates are the rates."""
    return np.asarray(effect - np.log(np.exp(effect).mean()))


def _faults(
    rejected: NDArray[np.bool_], rng: np.random.Generator
) -> tuple[NDArray[np.int32], NDArray[np.int16], NDArray[np.float32]]:
    """One or two faults on a reject, and on one other exposure in five a slight one."""
    shares = np.array([share for share, _ in FAULTS.values()])
    sizes = np.array([size for _, size in FAULTS.values()])
    n = len(rejected)
    number = np.where(rejected, 1 + (rng.random(n) < 0.3), rng.random(n) < 0.2)
    row = np.repeat(np.arange(n), number.astype(int)).astype(np.int32)
    fault = rng.choice(len(sizes), size=len(row), p=shares / shares.sum())
    slight = np.where(rejected[row], 1.0, 0.5)
    size = sizes[fault] * slight * np.exp(rng.normal(0.0, 0.3, len(row)))
    return row, fault.astype(np.int16), size.astype(np.float32)


def _aim(
    means: dict[AimPart, Floats],
    scatters: dict[AimPart, Floats],
    student: NDArray[np.int64],
    rng: np.random.Generator,
) -> dict[str, NDArray[np.float32]]:
    """Assessed errors with their uncertainty, for some of the exposures."""
    n = len(student)
    unassessed = rng.random(n) >= ASSESSED
    columns: dict[str, NDArray[np.float32]] = {}
    for part in AimPart:
        sd = SCATTER_SD[part.value] * rng.uniform(0.3, 0.7, n)
        error = means[part][student] + rng.normal(0.0, 1.0, n) * scatters[part][student]
        seen = error + rng.normal(0.0, 1.0, n) * sd
        for name, values in ((part.value, seen), (UNCERTAINTY[part], sd)):
            columns[name] = np.where(unassessed, np.nan, values).astype(np.float32)
    return columns


def _people_and_places(
    plan: SchoolPlan,
    student: NDArray[np.int64],
    day: NDArray[np.int64],
    rng: np.random.Generator,
) -> tuple[dict[Dimension, tuple[str, ...]], dict[Dimension, NDArray[np.int32]]]:
    """Who, under whom, where, with what and why."""
    n, clinics = len(student), len(CLINICS)
    clinic = student % clinics
    level = (student // clinics) % len(LEVELS)
    supervisor = clinic * 2 + rng.integers(2, size=n)
    labels: dict[Dimension, tuple[str, ...]] = {
        Dimension.OPERATOR: tuple(f"student-{k + 1:02d}" for k in range(plan.students)),
        Dimension.SUPERVISOR: tuple(f"supervisor-{k + 1}" for k in range(2 * clinics)),
        Dimension.ROOM: CLINICS,
        Dimension.RECEPTOR: RECEPTORS,
        Dimension.HOLDER: HOLDERS,
        Dimension.LEVEL: LEVELS,
        Dimension.REASON: REASONS,
    }
    codes = {
        Dimension.OPERATOR: student,
        Dimension.SUPERVISOR: supervisor,
        Dimension.ROOM: clinic,
        Dimension.RECEPTOR: (day >= plan.receptor_day).astype(np.int32),
        Dimension.HOLDER: np.zeros(n, dtype=np.int32),
        Dimension.LEVEL: level,
        Dimension.REASON: rng.integers(len(REASONS), size=n),
    }
    return labels, {dimension: code.astype(np.int32) for dimension, code in codes.items()}


__all__ = [
    "SchoolPlan",
    "SimulatedSchool",
    "planned_costs",
    "planned_odds",
    "simulated_school",
]

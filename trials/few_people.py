"""Invented records of few people, and whether what an audit says of each person holds.

Cases have four films, alike within a case by a stated correlation, in rejects and in aim alike. A
`Trial` is one kind of record and one question; `judged` draws one such record and says what was
right. `benchmarks/few_people.py` runs them, `builders/few_people.py` makes tables of what came out.
"""

from collections.abc import Iterator
from dataclasses import asdict, dataclass, replace
from enum import StrEnum
from itertools import product

import numpy as np
from numpy.typing import NDArray

from bitewright.audit.agreement import TooFewRatingsError, cohen, fleiss, two_way
from bitewright.audit.could_have_missed import rate_found_from
from bitewright.audit.counted_by import Dimension, Event
from bitewright.audit.logged_exposures import LoggedExposures
from bitewright.audit.operator_aim import UNCERTAINTY, operator_aims
from bitewright.audit.proportions import wilson
from bitewright.audit.whole_audit import operators_funnel
from bitewright.exposing.scatter import AimPart

Floats = NDArray[np.float64]

FILMS_A_CASE = 4
RATE = 0.12
DAY = 20089
SCATTER = dict(zip(AimPart, (3.5, 3.0, 2.5, 1.5), strict=True))
"""From film to film, as in the invented school. [degrees, degrees, mm, mm]"""
BETWEEN = dict(zip(AimPart, (1.0, 1.0, 0.8, 0.5), strict=True))
"""Between people, likewise."""
PAGE_CHANCE = 0.0125
"""Chance that each question of a page without named changes has."""


class Question(StrEnum):
    """What is asked of a record."""

    RATES = "rates"
    NAMED = "named"
    RATE_POWER = "rate-power"
    AIM = "aim"
    AIM_POWER = "aim-power"
    KAPPA = "kappa"


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """One kind of record and a question.

    Parameters
    ----------
    question : Question
    people : int
        Operators, or raters.
    films : int
        Of each on average, or images graded.
    spread : float
        Between people: of the log of the rate, or of the contact error in degrees; of raters, the
        chance that a grade is guessed.
    likeness : float
        Correlation within a case.
    bias : float
        Of the first person's contact error. [degrees]
    """

    question: Question
    people: int
    films: int
    spread: float = 0.0
    likeness: float = 0.0
    bias: float = 0.0

    @property
    def key(self) -> str:
        """What results are kept under."""
        return " ".join(
            f"{name}={value:g}" if name != "question" else str(value)
            for name, value in asdict(self).items()
        )


SIZES = ((3, 100), (5, 140), (10, 170), (30, 170), (90, 170))
"""People, and films of each on average."""
MOST_FILMS = 3000
"""Of a record whose intervals of aim are judged: larger ones take long and leave less to learn."""


def trials() -> Iterator[Trial]:
    """Every kind of record that the page tells of, the quickest first."""
    for people, films, spread in product((2, 4), (10, 20, 50, 100), (0.05, 0.3)):
        yield Trial(question=Question.KAPPA, people=people, films=films, spread=spread)
    for (people, films), spread, likeness in product(SIZES, (0.0, 0.25, 0.5), (0.0, 0.3)):
        yield Trial(
            question=Question.RATES, people=people, films=films, spread=spread, likeness=likeness
        )
    for people, films, likeness in product((2, 3, 5, 9, 12, 30), (20, 60, 200), (0.0, 0.2, 0.4)):
        yield Trial(question=Question.NAMED, people=people, films=films, likeness=likeness)
    for people, films in product((3, 5, 10, 30), (60, 200)):
        yield Trial(
            question=Question.RATE_POWER, people=people, films=films, spread=0.2, likeness=0.3
        )
    for (people, _), films, spread in product(SIZES, (8, 20, 60), (0.0, 1.0, 2.0)):
        if people * films <= MOST_FILMS:
            yield Trial(
                question=Question.AIM, people=people, films=films, spread=spread, likeness=0.3
            )
    for (people, _), films, bias in product(SIZES, (20, 50, 150), (2.0, 4.0, 6.0)):
        yield Trial(
            question=Question.AIM_POWER, people=people, films=films, spread=1.0, likeness=0.3,
            bias=bias,
        )  # fmt: skip


def judged(trial: Trial, rng: np.random.Generator) -> dict[str, float]:
    """One record: counts of what was asked and what was right, and sums of widths."""
    ask = {
        Question.RATES: _rates,
        Question.NAMED: _named,
        Question.RATE_POWER: _rate_power,
        Question.AIM: _aim,
        Question.AIM_POWER: _aim_power,
        Question.KAPPA: _kappa,
    }
    return ask[trial.question](trial, rng)


def _rates(trial: Trial, rng: np.random.Generator) -> dict[str, float]:
    rates = RATE * np.exp(rng.normal(0.0, trial.spread, trial.people) - trial.spread**2 / 2)
    log = _rejects(np.minimum(rates, 0.9), trial, rng)
    found = operators_funnel(log, Event.REJECT, PAGE_CHANCE)
    low, high = (np.array([getattr(o, end) for o in found.operators]) for end in ("low", "high"))
    counts = np.array([[o.rejects, o.exposures] for o in found.operators])
    plain = np.subtract(*wilson(counts[:, 0], counts[:, 1])[::-1])
    return {
        "asked": trial.people,
        "held": float(((low <= rates) & (rates <= high)).sum()),
        "width": float((high - low).sum()),
        "plain": float(plain.sum()),
    }


def _named(trial: Trial, rng: np.random.Generator) -> dict[str, float]:
    log = _rejects(np.full(trial.people, RATE), trial, rng)
    found = operators_funnel(log, Event.REJECT, 0.05)
    return {"asked": 1, "named": float(any(each.beyond for each in found.operators))}


def _rate_power(trial: Trial, rng: np.random.Generator) -> dict[str, float]:
    """Whether the first of these people is named at the rate told, the others as they are."""
    rates = RATE * np.exp(rng.normal(0.0, trial.spread, trial.people) - trial.spread**2 / 2)
    log = _rejects(rates, trial, rng)
    found = operators_funnel(log, Event.REJECT, PAGE_CHANCE)
    rate = rate_found_from(found, 0)
    if rate is None:
        return {"asked": 1, "never": 1.0}
    case = log.code(Dimension.CASE).astype(np.int64)
    again = _alike_within(np.full(int(case.max()) + 1, rate), trial.likeness, case, rng)
    first = log.code(Dimension.OPERATOR) == 0
    log = replace(log, rejected=np.where(first, again, log.rejected))
    found = operators_funnel(log, Event.REJECT, PAGE_CHANCE)
    return {"asked": 1, "told": rate, "found": float(found.operators[0].beyond)}


def _aim(trial: Trial, rng: np.random.Generator) -> dict[str, float]:
    means = rng.normal(0.0, 1.0) + rng.normal(0.0, trial.spread, trial.people)
    log = _aims({AimPart.CONTACT_ERROR: means}, trial, rng)
    parts = [each.parts[0] for each in operator_aims(log, family_chance=PAGE_CHANCE)]
    low, high = (np.array([getattr(part, end) for part in parts]) for end in ("low", "high"))
    return {
        "asked": trial.people,
        "held": float(((low <= means) & (means <= high)).sum()),
        "width": float((high - low).sum()),
    }


def _aim_power(trial: Trial, rng: np.random.Generator) -> dict[str, float]:
    means = {part: rng.normal(0.0, BETWEEN[part], trial.people) for part in AimPart}
    means[AimPart.CONTACT_ERROR][0] = trial.bias
    aims = operator_aims(_aims(means, trial, rng), family_chance=PAGE_CHANCE)
    first = [part.part for part in aims[0].remarked]
    return {
        "asked": 1,
        "found": float(AimPart.CONTACT_ERROR in first),
        "others": float(any(each.remarked for each in aims[1:])),
    }


def _kappa(trial: Trial, rng: np.random.Generator) -> dict[str, float]:
    """Two grades, one in seven images poor; ``spread`` of the grades are guessed as often."""
    poor = 1.0 / 7.0
    right = 1.0 - trial.spread
    true = rng.random(trial.films) < poor
    guess = rng.random((trial.people, trial.films)) < poor
    grade = np.where(rng.random((trial.people, trial.films)) < right, true, guess).astype(int)
    truth = right**2
    try:
        if trial.people == 2:
            names = ("0", "1")
            found = cohen(
                two_way([names[g] for g in grade[0]], [names[g] for g in grade[1]], names)
            )
        else:
            found = fleiss(np.stack([(grade == g).sum(axis=0) for g in (0, 1)], axis=1))
    except TooFewRatingsError:
        return {"asked": 0, "refused": 1.0}
    return {
        "asked": 1,
        "held": float(found.low <= truth <= found.high),
        "width": found.high - found.low,
    }


def _rejects(rates: Floats, trial: Trial, rng: np.random.Generator) -> LoggedExposures:
    person, case = _who_and_whom(trial, rng)
    of_case = rates[person[np.unique(case, return_index=True)[1]]]
    rejected = _alike_within(of_case, trial.likeness, case, rng)
    return _log(trial, person, case, rejected, {}, rng)


def _alike_within(
    rates: Floats, likeness: float, case: NDArray[np.int64], rng: np.random.Generator
) -> NDArray[np.bool_]:
    """Rejects of films (N,) of cases (C,) with these true rates, alike within a case."""
    if likeness:
        whole = 1.0 / likeness - 1.0
        rates = rng.beta(rates * whole, (1.0 - rates) * whole)
    return np.asarray(rng.random(len(case)) < rates[case])


def _aims(means: dict[AimPart, Floats], trial: Trial, rng: np.random.Generator) -> LoggedExposures:
    """Errors whose whole variance, the assessment's own with it, is alike within cases."""
    person, case = _who_and_whom(trial, rng)
    columns = {}
    for part, mean in means.items():
        own = SCATTER[part] * np.exp(rng.normal(0.0, 0.2, trial.people))[person]
        sd = SCATTER[part] * rng.uniform(0.3, 0.7, len(case))
        alike = rng.standard_normal(int(case.max()) + 1)[case]
        apart = rng.standard_normal(len(case))
        drawn = np.sqrt(trial.likeness) * alike + np.sqrt(1.0 - trial.likeness) * apart
        columns[part.value] = mean[person] + np.hypot(own, sd) * drawn
        columns[UNCERTAINTY[part]] = sd
    return _log(trial, person, case, np.zeros(len(case), dtype=np.bool_), columns, rng)


def _who_and_whom(
    trial: Trial, rng: np.random.Generator
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Person and case of each film; about as many films of each person as asked, four a case."""
    films = np.maximum(rng.poisson(trial.films, trial.people), min(trial.films, 20))
    person = np.repeat(np.arange(trial.people), films)
    place = np.concatenate([np.arange(count) for count in films])
    _, case = np.unique(person * 100_000 + place // FILMS_A_CASE, return_inverse=True)
    return person, case


def _log(
    trial: Trial,
    person: NDArray[np.int64],
    case: NDArray[np.int64],
    rejected: NDArray[np.bool_],
    columns: dict[str, Floats],
    rng: np.random.Generator,
) -> LoggedExposures:
    count = len(person)
    view = np.arange(count) % FILMS_A_CASE
    day = DAY + rng.integers(0, 365, int(case.max()) + 1)[case]
    return LoggedExposures(
        labels={
            Dimension.OPERATOR: tuple(f"p{k:02d}" for k in range(trial.people)),
            Dimension.CASE: tuple(str(k) for k in range(int(case.max()) + 1)),
            Dimension.VIEW: tuple(f"view {k + 1}" for k in range(FILMS_A_CASE)),
        },
        codes={
            Dimension.OPERATOR: person.astype(np.int32),
            Dimension.CASE: case.astype(np.int32),
            Dimension.VIEW: view.astype(np.int32),
        },
        day=day.astype(np.int32),
        rejected=rejected,
        retake=np.zeros(count, dtype=np.bool_),
        retake_succeeded=np.full(count, -1, dtype=np.int8),
        rating_labels=(),
        rating=np.full(count, -1, dtype=np.int32),
        fault_labels=(),
        fault_row=np.empty(0, dtype=np.int32),
        fault=np.empty(0, dtype=np.int16),
        fault_size=np.empty(0, dtype=np.float32),
        numbers={name: column.astype(np.float32) for name, column in columns.items()},
    )

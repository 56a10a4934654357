"""How near a verdict from marks lies to turning: which limit, and how likely another verdict is."""

from dataclasses import dataclass
from math import erf, sqrt

from bitewright.quality.criteria import Criterion, CriterionName
from bitewright.quality.rating import UPPER_LIMITS, Outcome

WORTH_TELLING = 0.1
"""Another verdict less likely than this is left unsaid. Our choice."""


TWO_SIDED = frozenset({CriterionName.LEVEL, CriterionName.CENTRAL})


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubt:
    """Another verdict that the marks leave room for.

    Parameters
    ----------
    limit : float
        The limit between the two verdicts, in the criterion's unit.
    is_target : bool
        Whether that limit is the target; else it is where the criterion fails.
    other : Outcome
        The likeliest other verdict; `Outcome.UNKNOWN` of what then is not all marked.
    chance : float
        How likely it is.
    """

    limit: float
    is_target: bool
    other: Outcome
    chance: float


def doubt(
    criterion: Criterion, outcome: Outcome, value: float, sd: float, *, fails: float | None
) -> Doubt | None:
    """How else a criterion may have come out; None where that is unlikely.

    Model: the deciding value alone, normal about what was measured; another contact that might
    have decided is not looked at.

    Parameters
    ----------
    criterion : Criterion
    outcome : Outcome
    value, sd : float
        The deciding value and its standard deviation, in the criterion's unit.
    fails : float or None
        Where the criterion fails; None where it cannot, or where that is not known.
    """
    sign = 1.0 if criterion.name in UPPER_LIMITS else -1.0
    over = sign * (abs(value) if criterion.name in TWO_SIDED else value)
    met, failed = sign * criterion.met, float("inf") if fails is None else sign * fails
    verdict = Outcome.MET if over <= met else Outcome.SHORT if over <= failed else Outcome.FAILED
    if verdict is not outcome or sd <= 0.0:
        return None
    below_met, below_failed = (_normal((limit - over) / sd) for limit in (met, failed))
    chances = {
        Outcome.MET: below_met,
        Outcome.SHORT: below_failed - below_met,
        Outcome.FAILED: 1.0 - below_failed,
    }
    other = max((each for each in chances if each is not outcome), key=lambda each: chances[each])
    if chances[other] < WORTH_TELLING:
        return None
    is_target = Outcome.FAILED not in (outcome, other) or fails is None
    limit = criterion.met if is_target or fails is None else fails
    return Doubt(limit=limit, is_target=is_target, other=other, chance=chances[other])


def _normal(z: float) -> float:
    return 0.5 * (1.0 + erf(z / sqrt(2.0)))


__all__ = ["Doubt", "doubt"]

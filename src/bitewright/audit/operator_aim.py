"""How each operator aims and places: mean and scatter, learned together from all of them.

Each operator's own assessments speak for them as far as they go; where these are few, the others
fill in (`pooled_means`). Films of one case are alike, so that several of them say less.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bitewright.audit.aim_likeness import likeness_of_errors
from bitewright.audit.counted_by import Dimension
from bitewright.audit.logged_exposures import LoggedExposures
from bitewright.audit.pooled_means import PartEstimate, PooledMeans, pooled_means
from bitewright.audit.proportions import CONFIDENCE
from bitewright.exposing.scatter import AimPart, Scatter

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

UNCERTAINTY = {
    AimPart.CONTACT_ERROR: "contact_error_sd_deg",
    AimPart.VERTICAL_ERROR: "vertical_error_sd_deg",
    AimPart.FORWARD: "forward_sd_mm",
    AimPart.HEIGHT: "height_sd_mm",
}
FEWEST_ASSESSED = 5
"""With fewer assessed exposures no operator is remarked on. Our choice."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Learned:
    """What was learned of all operators together, and one's place in it.

    ``means``: of each part. ``doubt_left``: how much one more remark may be in doubt.
    """

    means: tuple[PooledMeans, ...]
    place: int
    doubt_left: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class OperatorAim:
    """One operator's aim in four parts, and whether any is worth a word.

    ``remarked``: parts whose mean is surely beyond what is worth saying, allowing for all others
    that are remarked on. ``learned``: what the parts were learned with.
    """

    label: str
    parts: tuple[PartEstimate, ...]
    scatter: Scatter
    remarked: tuple[PartEstimate, ...]
    learned: Learned

    @property
    def assessed(self) -> int:
        """Exposures assessed in the part assessed most."""
        return max(part.assessed for part in self.parts)


def operator_aims(
    log: LoggedExposures, *, confidence: float = CONFIDENCE, family_chance: float = 0.05
) -> tuple[OperatorAim, ...]:
    """Every operator with an assessed exposure.

    The model and its sources: `pooled_means`. When a remark is made is our choice.

    Parameters
    ----------
    log : LoggedExposures
    confidence : float
        Of each interval.
    family_chance : float
        Chance that anybody is remarked on wrongly: the doubts of all remarks together.
    """
    operator = log.code(Dimension.OPERATOR).astype(np.int64)
    names = log.names(Dimension.OPERATOR)
    case = log.code(Dimension.CASE)
    fitted = {}
    for part in AimPart:
        value = log.number(part.value).astype(np.float64)
        sd = log.number(UNCERTAINTY[part]).astype(np.float64)
        known = np.isfinite(value) & (operator >= 0)
        sd = np.where(np.isfinite(sd), sd, 0.0)
        who, seen_in = operator[known], case[known]
        alike = likeness_of_errors(value[known], who, seen_in)
        fitted[part] = pooled_means(
            value[known],
            sd[known],
            who,
            len(names),
            part,
            clustering=alike.design_effects(seen_in, who.astype(np.int32), len(names)),
            confidence=confidence,
        )
    told = {part: fitted[part].estimates for part in AimPart}
    seen = [k for k in range(len(names)) if any(told[part][k].assessed for part in AimPart)]
    links = _correlations(log, operator, len(names))
    seen.sort(key=lambda k: names[k])
    found = [[told[part][k] for part in AimPart] for k in seen]
    needed, left = _certainty_needed([part for parts in found for part in parts], family_chance)
    learned = tuple(fitted[part] for part in AimPart)
    return tuple(
        _operator(names[k], parts, links, needed, Learned(means=learned, place=k, doubt_left=left))
        for k, parts in zip(seen, found, strict=True)
    )


def _correlations(log: LoggedExposures, operator: Ints, count: int) -> Floats:
    """Correlation of the four parts within operators, (4, 4), from exposures with all four."""
    values = np.column_stack([log.number(part.value) for part in AimPart]).astype(np.float64)
    whole = np.isfinite(values).all(axis=1) & (operator >= 0)
    values, operator = values[whole], operator[whole]
    number = np.maximum(np.bincount(operator, minlength=count), 1)
    if len(values) < 30:
        return np.eye(len(AimPart))
    means = np.column_stack([np.bincount(operator, v, count) / number for v in values.T])
    found = np.asarray(np.corrcoef((values - means[operator]).T), dtype=np.float64)
    return found if np.isfinite(found).all() else np.eye(len(AimPart))


def _certainty_needed(parts: list[PartEstimate], family_chance: float) -> tuple[float, float]:
    """How sure a remark must be, so that the doubts of all remarks made add up to the chance.

    And how much doubt that leaves for one more.
    """
    sure = [part.surely_beyond for part in parts if part.assessed >= FEWEST_ASSESSED]
    doubts = np.sort(1.0 - np.array(sure))
    running = np.cumsum(doubts)
    allowed = int((running <= family_chance).sum())
    if not allowed:
        return 2.0, family_chance
    return float(1.0 - doubts[allowed - 1]), family_chance - float(running[allowed - 1])


def _operator(
    label: str, parts: list[PartEstimate], links: Floats, needed: float, learned: Learned
) -> OperatorAim:
    deviations = np.array([part.scatter for part in parts])
    covariance = links * np.outer(deviations, deviations)
    return OperatorAim(
        label=label,
        parts=tuple(parts),
        scatter=Scatter(
            contact_error_deg=parts[0].mean,
            vertical_error_deg=parts[1].mean,
            forward_mm=parts[2].mean,
            height_mm=parts[3].mean,
            covariance=(covariance + covariance.T) / 2,
        ),
        remarked=tuple(
            part
            for part in parts
            if part.assessed >= FEWEST_ASSESSED and part.surely_beyond >= needed
        ),
        learned=learned,
    )


__all__ = [
    "FEWEST_ASSESSED",
    "Learned",
    "OperatorAim",
    "operator_aims",
]

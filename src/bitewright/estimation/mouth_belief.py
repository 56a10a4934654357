"""What is believed of one mouth: the population's spread, or what films have taught.

A normal distribution over how many standard deviations a mouth lies along each direction of the
population.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from bitewright.estimation.mouth_prior import FORMS, Direction, directions, mean_mouth, moved
from bitewright.mouth.mouth import Mouth
from bitewright.mouth.numbering import Side

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class MouthBelief:
    """A distribution over mouths with certain teeth.

    Parameters
    ----------
    teeth : tuple of int
        ISO 3950 codes present.
    side : Side or None
        The side films have taught about; None before any.
    mean, covariance : (N,) and (N, N) float arrays
        Along `directions`. [standard deviations of the population]
    films : int
        How many films it has learned from.
    learned_from : tuple of str
        Digests by which those films are known again, as far as they are told.
    closed : tuple of int
        Missing teeth whose spaces have closed; of the others the space is kept.
    """

    teeth: tuple[int, ...]
    side: Side | None
    mean: Floats
    covariance: Floats
    films: int = 0
    learned_from: tuple[str, ...] = ()
    closed: tuple[int, ...] = ()

    @property
    def along(self) -> tuple[Direction, ...]:
        """The population's directions for these teeth."""
        return directions(max(code % 10 for code in self.teeth))

    def mouth(self) -> Mouth:
        """The mouth in the middle of the belief."""
        own = moved(mean_mouth(self.teeth, self.closed), self.mean, self.along)
        return replace(own, name="learned mouth" if self.films else own.name)

    def drawn(self, count: int, generator: np.random.Generator) -> Floats:
        """Amounts (count, N) of mouths drawn from the belief."""
        root = np.linalg.cholesky(self.covariance)
        return self.mean + generator.standard_normal((count, len(self.mean))) @ root.T

    def seen_from(self, side: Side) -> "MouthBelief":
        """What it says of a side: the other side's teeth are alike in size more than in stance."""
        if self.side is None or side is self.side:
            return replace(self, side=side)
        alike = np.array([_likeness(each) for each in self.along])
        covariance = np.outer(alike, alike) * self.covariance
        return replace(
            self,
            side=side,
            mean=alike * self.mean,
            covariance=covariance + np.diag(1.0 - alike**2),
        )


def population(teeth: tuple[int, ...]) -> MouthBelief:
    """The belief before any film."""
    codes = tuple(sorted(teeth))
    size = len(directions(max(code % 10 for code in codes)))
    return MouthBelief(teeth=codes, side=None, mean=np.zeros(size), covariance=np.eye(size))


def _likeness(direction: Direction) -> float:
    """Correlation of the two sides of a mouth along a direction. Our choice."""
    if direction.place is None:
        return 1.0
    return ALIKE.get(direction.what, 0.0)


ALIKE = {
    "size": 0.9,
    **dict.fromkeys(FORMS, 0.7),
    "crown_length_mm": 0.9,
    "facet_width_mm": 0.5,
    "rise_mm": 0.5,
    "crest_mesial_mm": 0.5,
    "crest_distal_mm": 0.5,
}


__all__ = ["MouthBelief", "population"]

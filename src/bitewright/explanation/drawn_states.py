"""Exposures and mouths drawn together from an estimate."""

import numpy as np
from numpy.typing import NDArray

from bitewright.estimation.estimate import Estimate

Floats = NDArray[np.float64]


def drawn_states(found: Estimate, count: int, generator: np.random.Generator) -> Floats:
    """States (count, 10F + N) of every solution by its share: each film's unknowns, the mouth.

    Parameters
    ----------
    found : Estimate
        Of F films and a mouth of N directions.
    count : int
    generator : numpy Generator
    """
    shares = np.array([each.share for each in found.solutions])
    whose = generator.choice(len(shares), size=count, p=shares)
    noise = generator.standard_normal((count, len(found.solutions[0].state)))
    roots = [np.linalg.cholesky(each.covariance) for each in found.solutions]
    return np.stack(
        [found.solutions[k].state + roots[k] @ z for k, z in zip(whose, noise, strict=True)]
    )


__all__ = ["drawn_states"]

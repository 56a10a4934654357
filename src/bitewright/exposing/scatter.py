"""How far one operator's exposures fall from where they were meant: mean and scatter."""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from bitewright.errors import BitewrightError

Floats = NDArray[np.float64]


class AimPart(StrEnum):
    """What can be off, in the order of a scatter's rows and columns."""

    CONTACT_ERROR = "contact_error_deg"
    VERTICAL_ERROR = "vertical_error_deg"
    FORWARD = "forward_mm"
    HEIGHT = "height_mm"


class ScatterCovarianceError(BitewrightError):
    """A scatter's covariance is no covariance."""

    def __init__(self, problem: str) -> None:
        super().__init__(
            f"The scatter's covariance {problem}: give four rows of four numbers, symmetric, with "
            "no negative variance, in the order contact_error_deg, vertical_error_deg, forward_mm, "
            "height_mm."
        )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Scatter:
    """The distribution of one operator's errors, taken to be normal.

    Parameters
    ----------
    contact_error_deg : float
        Mean; positive with the tube too far to the front.
    vertical_error_deg : float
        Mean; positive with the tube too high.
    forward_mm, height_mm : float
        Means of the receptor's place against the one meant; positive too far to the front, and
        too high.
    covariance : (4, 4) float array
        Of one exposure's errors about the means, in the order of `AimPart`. [deg, mm]

    Raises
    ------
    ScatterCovarianceError
    """

    contact_error_deg: float
    vertical_error_deg: float
    forward_mm: float
    height_mm: float
    covariance: Floats

    def __post_init__(self) -> None:
        matrix = self.covariance
        if matrix.shape != (4, 4) or not np.isfinite(matrix).all():
            raise ScatterCovarianceError(f"has shape {matrix.shape} or holds what is no number")
        if not np.allclose(matrix, matrix.T, atol=1e-9):
            raise ScatterCovarianceError("is not symmetric")
        if np.linalg.eigvalsh(matrix).min() < -1e-9:
            raise ScatterCovarianceError("has a negative variance in some direction")

    def mean(self) -> Floats:
        """The four means, (4,)."""
        return np.array([getattr(self, part.value) for part in AimPart])

    def draw(self, rng: np.random.Generator, count: int) -> Floats:
        """Errors of so many exposures, (count, 4)."""
        return rng.multivariate_normal(self.mean(), self.covariance, size=count, method="eigh")


__all__ = ["AimPart", "Scatter", "ScatterCovarianceError"]

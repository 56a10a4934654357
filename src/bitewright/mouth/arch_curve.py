"""Arch curves by published equations: where along the mouth the crowns stand.

Seen from below, x runs across (right negative) and y backwards from the front of the arch. [mm]
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bitewright.compiled import compiled

STRAIGHT_TAIL_MM = 40.0
SAMPLES = 240
_SINES = np.sin(np.linspace(-np.pi / 2, np.pi / 2, SAMPLES))

REACH_MM = 1.5
"""A tooth follows the mean of the arch so far to both sides of its middle. Our choice."""


def beta_depth_mm(across_mm: ArrayLike, *, width_mm: float, depth_mm: float) -> NDArray[np.float64]:
    """How far forward of the molar line the beta arch lies at a distance from the midline.

    ``y = 3.0314 D (x/W + 1/2)^0.8 (1/2 - x/W)^0.8``; zero outside the arch.

    Parameters
    ----------
    across_mm : (...,) float
        Distance from the midline. [mm]
    width_mm, depth_mm : float
        Arch width W and depth D at the second molars. [mm]

    References
    ----------
    .. [1] Braun S, Hnat WP, Fender DE, Legan HL. The form of the human dental arch. Angle Orthod
       1998;68(1):29-36. Equation from memory; consistent, since 4^0.8 = 3.0314 makes y(0) = D.
    """
    share = np.asarray(across_mm, dtype=np.float64) / width_mm
    product = np.clip((share + 0.5) * (0.5 - share), 0.0, None)
    return np.asarray(3.0314 * depth_mm * product**0.8, dtype=np.float64)


def polynomial_coefficients(
    *, canine_mm: tuple[float, float], molar_mm: tuple[float, float]
) -> tuple[float, float]:
    """Coefficients A, B of ``Y = A X^6 + B X^2`` through a canine and a molar point.

    Points are (across from the midline, back from the front of the arch). [mm]

    References
    ----------
    .. [1] Noroozi H, Hosseinzadeh Nik T, Saeeda R. The dental arch form revisited. Angle Orthod
       2001;71:386-9.
    """
    (xc, yc), (xm, ym) = canine_mm, molar_mm
    a = (ym / xm**2 - yc / xc**2) / (xm**4 - xc**4)
    return a, yc / xc**2 - a * xc**4


@dataclass(frozen=True, slots=True, eq=False)
class ArchCurve:
    """A smooth curve from right to left with its length measured from the midline.

    Parameters
    ----------
    points_mm : (n, 2) float array
        Points from the right end to the left end. [mm]
    along_mm : (n,) float array
        Length along the curve, zero at the midline, left positive. [mm]
    """

    points_mm: NDArray[np.float64]
    along_mm: NDArray[np.float64]

    @classmethod
    def through(cls, points_mm: NDArray[np.float64]) -> "ArchCurve":
        """The curve through points (P, 2) from right to left, straight beyond both ends. [mm]"""
        points, along = _with_tails(points_mm, STRAIGHT_TAIL_MM)
        middle = np.interp(0.0, points[:, 0], along)
        return cls(points, along - middle)

    @classmethod
    def beta(cls, *, width_mm: float, depth_mm: float) -> "ArchCurve":
        """The beta arch of `beta_depth_mm`, turned so that y runs backwards from its front."""
        # Evenly spaced in the angle, so that the steep sides get as many points as the front.
        across = -0.5 * width_mm * np.cos(np.linspace(0.0, np.pi, SAMPLES))
        back = depth_mm - beta_depth_mm(across, width_mm=width_mm, depth_mm=depth_mm)
        return cls.through(np.column_stack([across, back]))

    @classmethod
    def polynomial(
        cls, *, canine_mm: tuple[float, float], molar_mm: tuple[float, float]
    ) -> "ArchCurve":
        """The sixth-order arch of `polynomial_coefficients`, as far back as the molar point."""
        a, b = polynomial_coefficients(canine_mm=canine_mm, molar_mm=molar_mm)
        points = np.empty((SAMPLES, 2))
        points[:, 0] = molar_mm[0] * _SINES
        square = points[:, 0] * points[:, 0]
        points[:, 1] = square * (a * square * square + b)
        return cls.through(points)

    def at(self, along_mm: NDArray[np.float64]) -> NDArray[np.float64]:
        """Points of the curve at lengths from the midline, shape (n, 2). [mm]"""
        return _points_at(along_mm, self.along_mm, self.points_mm)

    def tangents(self, along_mm: NDArray[np.float64]) -> NDArray[np.float64]:
        """Unit directions towards the patient's left, shape (n, 2)."""
        return _tangents_at(along_mm, self.along_mm, self.points_mm, REACH_MM)


@compiled
def _with_tails(
    points: NDArray[np.float64], tail: float
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """A line through points (P, 2) with a straight tail at both ends, and lengths along it."""
    count = len(points) + 2
    longer, along = np.empty((count, 2)), np.zeros(count)
    longer[1:-1] = points
    for end, last, before in ((0, 0, 1), (count - 1, count - 3, count - 4)):
        x, y = points[last, 0] - points[before, 0], points[last, 1] - points[before, 1]
        size = np.hypot(x, y)
        longer[end, 0] = points[last, 0] + tail * x / size
        longer[end, 1] = points[last, 1] + tail * y / size
    for p in range(1, count):
        step = np.hypot(longer[p, 0] - longer[p - 1, 0], longer[p, 1] - longer[p - 1, 1])
        along[p] = along[p - 1] + step
    return longer, along


@compiled
def _tangents_at(
    along: NDArray[np.float64],
    lengths: NDArray[np.float64],
    points: NDArray[np.float64],
    reach: float,
) -> NDArray[np.float64]:
    """Unit directions (n, 2) of chords that reach so far to both sides of lengths."""
    chord = _points_at(along + reach, lengths, points) - _points_at(along - reach, lengths, points)
    for n in range(len(along)):
        chord[n] /= np.sqrt(chord[n, 0] ** 2 + chord[n, 1] ** 2)
    return chord


@compiled
def _points_at(
    along: NDArray[np.float64], lengths: NDArray[np.float64], points: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Points (n, 2) at lengths along a line through points, its ends beyond both ends."""
    last = len(lengths) - 2
    found = np.empty((len(along), 2))
    cells = np.searchsorted(lengths, along, side="right") - 1
    for n in range(len(along)):
        k = min(max(cells[n], 0), last)
        share = (along[n] - lengths[k]) / (lengths[k + 1] - lengths[k])
        share = min(max(share, 0.0), 1.0)
        for i in range(2):
            found[n, i] = points[k, i] + share * (points[k + 1, i] - points[k, i])
    return found


__all__ = ["ArchCurve", "beta_depth_mm", "polynomial_coefficients"]

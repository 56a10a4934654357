"""What one film's marks say that the model projects too: where, how sure, and what is outside."""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from bitewright.estimation.allowances import allowances, allowed
from bitewright.exposing.landmarks import Landmarks, Status

Floats = NDArray[np.float64]

OUTSIDE_SD_MM = 0.6
"""How far inside a landmark said to be off the image may be projected. Our choice."""


@dataclass(frozen=True, slots=True, eq=False)
class SeenMarks:
    """Marks of one film and how they weigh.

    A landmark said to be off the image costs nothing where it is projected off it, and as much as
    it lies inside otherwise. Marks have heavy tails, by groups: one that lies far off weighs less
    (Student's t, as a normal whose deviation is not known: Lange, Little & Taylor, J Am Stat Assoc
    1989;84:881-896).

    Parameters
    ----------
    columns : (L,) int array
        Which of the projected landmarks they are.
    names : tuple of L str
    marked : (2L,) float array
        Where they lie. [mm]
    points : (2L,) float array
        The same, less what the model is off on average. [mm]
    own, together : (2L, 2L) float arrays
        Covariance within groups, and of all together. [mm2]
    groups : (2L,) int array
    weights : (2L,) float array
    whitening : (2L, 2L) float array
    outside : (K,) int array
        Projected landmarks that were said to be off the image.
    """

    columns: NDArray[np.intp]
    names: tuple[str, ...]
    marked: Floats
    points: Floats
    own: Floats
    together: Floats
    groups: NDArray[np.intp]
    weights: Floats
    whitening: Floats
    outside: NDArray[np.intp]

    @classmethod
    def of(cls, landmarks: Landmarks, projected: tuple[str, ...]) -> "SeenMarks":
        """Of the first film of some landmarks, among names that are projected."""
        place = {name: column for column, name in enumerate(projected)}
        known = [row for row, name in enumerate(landmarks.names) if name in place]
        rows = [row for row in known if landmarks.status[0, row] == Status.SEEN]
        off = [row for row in known if landmarks.status[0, row] == Status.OUTSIDE]
        names = tuple(landmarks.names[row] for row in rows)
        points = landmarks.points_receptor[0, rows]
        beside = allowed(names, points, landmarks.front_sign)
        pair = np.array([[2 * row, 2 * row + 1] for row in rows], dtype=np.intp).ravel()
        own, together = beside.own, beside.together
        if landmarks.covariance_mm2 is not None:
            marked = landmarks.covariance_mm2[np.ix_(pair, pair)]
            # What the pixel size moves together has no tails of its own.
            alone = np.diag(np.diag(marked) - np.diag(_scaled_together(marked, points.reshape(-1))))
            own, together = own + alone, together + marked - alone
        plain = cls(
            np.array([place[name] for name in names], dtype=np.intp),
            names,
            points.reshape(-1),
            points.reshape(-1) - beside.shift,
            own,
            together,
            beside.groups,
            np.ones(len(pair)),
            np.zeros((len(pair),) * 2),
            np.array([place[landmarks.names[row]] for row in off], dtype=np.intp),
        )
        return plain.weighted(plain.weights)

    @property
    def size(self) -> int:
        """How many numbers `projected` gives: two for each mark, and what lies inside."""
        return len(self.points) + len(self.outside)

    def weighted(self, weights: Floats) -> "SeenMarks":
        """The same marks, weighing otherwise (2L,)."""
        if not len(self.points):
            return self
        root = 1.0 / np.sqrt(weights)
        covariance = self.own * np.outer(root, root) + self.together
        return replace(
            self, weights=weights, whitening=np.linalg.inv(np.linalg.cholesky(covariance))
        )

    def reweighted(self, left_over: Floats) -> "SeenMarks":
        """The same, each group weighing by how far it lies off; residuals whitened, (size,)."""
        if not len(self.points):
            return self
        apart = self.unwhitened(left_over)
        # What all have together is told from the residuals before each is judged by itself.
        root = 1.0 / np.sqrt(self.weights)
        own = self.own * np.outer(root, root)
        alone = own @ self.whitening.T @ (self.whitening @ apart)
        squares = alone * np.linalg.solve(self.own, alone)
        freedom = allowances().freedom
        weights = np.ones(len(apart))
        for group in np.unique(self.groups):
            mine = self.groups == group
            total = max(float(squares[mine].sum()), 0.0)
            weights[mine] = (freedom + mine.sum()) / (freedom + total)
        return self.weighted(weights)

    def tail_cost(self) -> float:
        """What weights cost, so that cost with them is a Student's t's."""
        freedom, total = allowances().freedom, 0.0
        for group in np.unique(self.groups):
            mine = self.groups == group
            weight = float(self.weights[mine][0])
            count = int(mine.sum())
            total += freedom * (weight - 1.0) - (freedom + count) * np.log(weight)
        return float(total)

    def turned_from(self, other: "SeenMarks") -> Callable[[Floats], Floats]:
        """What turns values whitened by other weights, (size, ...), into those by these."""
        count = len(self.points)
        turn = self.whitening @ np.linalg.inv(other.whitening)
        return lambda values: np.concatenate([turn @ values[:count], values[count:]])

    def unwhitened(self, left_over: Floats) -> Floats:
        """Residuals in millimetres (2L,) from whitened ones (size,)."""
        return np.asarray(np.linalg.solve(self.whitening, left_over[: len(self.points)]))

    def projected(self, marks: Landmarks) -> Floats:
        """Whitened places of these marks in E projections, then how far inside, (E, size)."""
        there = marks.points_receptor[:, self.columns].reshape(len(marks), -1) @ self.whitening.T
        margin = np.minimum(marks.frame_margin_mm, marks.beam_margin_mm)[:, self.outside]
        return np.concatenate([there, np.maximum(margin, 0.0) / OUTSIDE_SD_MM], axis=1)

    def left_over(self, marks: Landmarks) -> Floats:
        """Marks less E projections, whitened, (E, size)."""
        wanted = np.concatenate([self.whitening @ self.points, np.zeros(len(self.outside))])
        return np.asarray(wanted - self.projected(marks))


def _scaled_together(covariance: Floats, points: Floats) -> Floats:
    """The part of marks' covariance that a common scale makes: a multiple of their places' product.

    The multiple nearest to what is off the diagonal, by least squares.
    """
    product = np.outer(points, points)
    beside = ~np.eye(len(points), dtype=bool)
    squares = float((product[beside] ** 2).sum())
    share = float((covariance * product)[beside].sum()) / squares if squares else 0.0
    return np.asarray(max(share, 0.0) * product)


__all__ = ["SeenMarks"]

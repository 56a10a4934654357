"""Estimate the exposure and the mouth behind marked films.

Which of all exposures of all mouths of the population would have left these marks?

Gauss-Newton on the sum of squares of marks, exposure prior and mouth prior, from several tube
directions, since an overlap alone does not tell from which side it came.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from bitewright.estimation.exposure_unknowns import (
    NAMES,
    SPREAD,
    STEP,
    exposures_at,
    usual_unknowns,
)
from bitewright.estimation.mouth_belief import MouthBelief
from bitewright.estimation.mouth_shapes import MouthShapes
from bitewright.exposing.exposure import Station
from bitewright.exposing.landmarks import Landmarks, Status
from bitewright.exposing.project import project_shapes
from bitewright.steps import Begin, unwatched

Floats = NDArray[np.float64]

ALLOWANCE_MM = {
    "outline": (0.06, 1.0),
    "cej": (0.30, 0.30),
    "crest": (0.25, 0.25),
    "cusp": (0.30, 0.30),
}
"""What a real tooth's structure may lie from the model's, along and across the row of teeth.

Our choice. An outline's height is hardly used: a person marks an overlap where it is widest or
where it is clearest.
"""

OUTSIDE_SD_MM = 0.6
"""How far inside a landmark said to be off the image may be projected. Our choice."""

STARTS_DEG = (-12.0, 0.0, 12.0)
"""Tube directions from which the search starts, about the prior's. Our choice."""

ROUNDS = 8
REFINEMENTS = 4
MOUTH_STEP_SD = 0.3
"""Over which slopes by the mouth are differenced. Our choice."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FilmEvidence:
    """One marked film and the equipment it was taken with.

    ``station`` holds the population's middle mouth (or the known one).
    """

    landmarks: Landmarks
    station: Station


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Estimate:
    """Joint estimate of F exposures and one mouth.

    Parameters
    ----------
    films : tuple of F FilmEvidence
    shapes : MouthShapes
        Built at the estimated mouth.
    unknowns : (F, 10) float array
        See `exposure_unknowns.NAMES`.
    amounts : (N,) float array
        The mouth, in standard deviations along its directions; empty for a known mouth.
    covariance : (10F + N, 10F + N) float array
    misfit : float
        Sum of squares of the marks' residuals over what is expected of it once exposure and mouth
        have taken up their share; about 1 for marks and mouths as they are assumed.
    residuals_sd : dict of landmark name to float
        How many standard deviations each mark of the first film lies off the estimate.
    solutions : tuple of Solution
        Separate local bests with their shares, the best first.
    """

    films: tuple[FilmEvidence, ...]
    shapes: MouthShapes
    unknowns: Floats
    amounts: Floats
    covariance: Floats
    misfit: float
    residuals_sd: dict[str, float]
    solutions: tuple["Solution", ...]

    def belief(self, before: MouthBelief) -> MouthBelief:
        """What is believed of the mouth after these films."""
        exposures = self.unknowns.size
        return replace(
            before,
            mean=self.amounts,
            covariance=self.covariance[exposures:, exposures:],
            films=before.films + len(self.films),
        )


@dataclass(frozen=True, slots=True, eq=False)
class Solution:
    """One local best: its state, covariance, cost, and share of the belief."""

    state: Floats
    covariance: Floats
    cost: float
    share: float


def estimate(
    films: Sequence[FilmEvidence],
    shapes: MouthShapes,
    belief: MouthBelief | None,
    *,
    begin: Begin = unwatched,
) -> Estimate:
    """Estimate exposures and mouth from marked films of one side.

    Our model: marks normal about the projection, with an allowance for what shapes leave out; the
    mouth normal about the population's mean (`mouth_prior`), the exposure about a careful hand's
    (`exposure_unknowns`). The best fit by Gauss-Newton steps, halved while they do not help, from
    several starts; the spread about each local best by Laplace's approximation.

    Parameters
    ----------
    films : sequence of FilmEvidence
    shapes : MouthShapes
        The population's, or one with no directions for a known mouth.
    belief : MouthBelief
        What is known of the mouth before these films.
    begin : Begin
    """
    return _Fit(tuple(films), shapes, belief, begin).solved()


class _Fit:
    """The sum of squares and its search. State: unknowns of each film, then mouth amounts."""

    def __init__(
        self,
        films: tuple[FilmEvidence, ...],
        shapes: MouthShapes,
        belief: MouthBelief | None,
        begin: Begin,
    ) -> None:
        self.films, self.shapes, self.begin = films, shapes, begin
        self.count = len(NAMES) * len(films)
        mouth = len(shapes.along)
        self.prior_mean = np.concatenate(
            [
                *(usual_unknowns(film.station) for film in films),
                belief.mean if belief else np.zeros(mouth),
            ]
        )
        precision = np.zeros((self.count + mouth,) * 2)
        precision[: self.count, : self.count] = np.diag(np.tile(SPREAD, len(films)) ** -2.0)
        if belief:
            precision[self.count :, self.count :] = np.linalg.inv(belief.covariance)
        self.precision = precision
        self.seen = [_Seen.of(film.landmarks, shapes.targets.names) for film in films]

    def solved(self) -> Estimate:
        starts = [self._descended(self._start(azimuth), ROUNDS) for azimuth in STARTS_DEG]
        starts.sort(key=lambda pair: pair[1])
        kept = _separate(starts)
        solutions = []
        for state, _ in kept:
            refined, cost, jacobian = self._refined(state)
            covariance: Floats = np.asarray(np.linalg.inv(jacobian.T @ jacobian + self.precision))
            solutions.append((refined, covariance, cost, self._left_free(jacobian, covariance)))
        solutions.sort(key=lambda each: each[2])
        least, left = solutions[0][2:]
        weights = np.array(
            [
                np.exp(-0.5 * (cost - least)) * np.sqrt(np.linalg.det(_scaled(cov)))
                for _, cov, cost, _ in solutions
            ]
        )
        weights /= weights.sum()
        best = solutions[0][0]
        residuals = self._residuals(best)
        return Estimate(
            films=self.films,
            shapes=self.shapes.rebuilt_at(best[self.count :], self.films[0].station.region)
            if len(self.shapes.along)
            else self.shapes,
            unknowns=best[: self.count].reshape(len(self.films), -1),
            amounts=best[self.count :],
            covariance=solutions[0][1],
            misfit=float((np.concatenate(residuals) ** 2).sum() / max(left, 1.0)),
            residuals_sd=self.seen[0].by_name(residuals[0]),
            solutions=tuple(
                Solution(state, covariance, cost, float(share))
                for (state, covariance, cost, _), share in zip(solutions, weights, strict=True)
            ),
        )

    def _left_free(self, jacobian: Floats, covariance: Floats) -> float:
        """Expected squares of the seen marks' residuals, once the state has taken up its share.

        Our model: linear about the solution, marks and prior as they are assumed to be.
        """
        seen = np.concatenate([np.arange(each.size) < len(each.points) for each in self.seen])
        taken_up = np.einsum("ms,st,mt->m", jacobian, covariance, jacobian)
        return float((1.0 - taken_up)[seen].sum())

    def _start(self, azimuth: float) -> Floats:
        state = self.prior_mean.copy()
        state[: self.count].reshape(len(self.films), -1)[:, NAMES.index("azimuth_deg")] += azimuth
        return state

    def _descended(self, state: Floats, rounds: int) -> tuple[Floats, float]:
        """Rough descent: the mouth's slopes are taken once, the exposure's anew in each round."""
        mouth_slopes = self._mouth_slopes(state)
        residuals = self._residuals(state)
        cost = self._cost(state, residuals)
        for _ in range(rounds):
            state, cost, residuals, moved = self._step(state, cost, residuals, mouth_slopes)
            if not moved:
                break
        return state, cost

    def _refined(self, state: Floats) -> tuple[Floats, float, Floats]:
        residuals = self._residuals(state)
        cost = self._cost(state, residuals)
        for _ in range(REFINEMENTS):
            before = cost
            slopes = self._mouth_slopes(state)
            state, cost, residuals, moved = self._step(state, cost, residuals, slopes)
            if not moved or before - cost < 0.05:
                break
        return state, cost, self._jacobian(state, self._mouth_slopes(state))

    def _step(
        self, state: Floats, cost: float, residuals: list[Floats], mouth_slopes: list[Floats]
    ) -> tuple[Floats, float, list[Floats], bool]:
        self.begin("the exposure and mouth that left these marks")
        jacobian = self._jacobian(state, mouth_slopes)
        away = self.prior_mean - state
        gradient = jacobian.T @ np.concatenate(residuals) + self.precision @ away
        step = np.linalg.solve(jacobian.T @ jacobian + self.precision, gradient)
        for share in (1.0, 0.5, 0.25, 0.1):
            tried = state + share * step
            found = self._residuals(tried)
            new = self._cost(tried, found)
            if new < cost:
                return tried, new, found, True
        return state, cost, residuals, False

    def _cost(self, state: Floats, residuals: list[Floats]) -> float:
        away = state - self.prior_mean
        return float(sum(r @ r for r in residuals) + away @ self.precision @ away)

    def _residuals(self, state: Floats) -> list[Floats]:
        """Marks less projection, whitened, for each film."""
        shapes = self.shapes.of(state[None, self.count :])
        found = []
        for film, seen, own in zip(self.films, self.seen, self._unknowns(state), strict=True):
            marks, _ = project_shapes(
                exposures_at(film.station, own[None]), self.shapes.targets, shapes
            )
            found.append(seen.left_over(marks)[0])
        return found

    def _unknowns(self, state: Floats) -> Floats:
        return state[: self.count].reshape(len(self.films), -1)

    def _mouth_slopes(self, state: Floats) -> list[Floats]:
        """Slopes of each film's whitened projection by the mouth's amounts, (marks, N)."""
        amounts = state[self.count :]
        size = len(amounts)
        if not size:
            return [np.zeros((seen.size, 0)) for seen in self.seen]
        stepped = np.vstack([np.zeros(size), MOUTH_STEP_SD * np.eye(size)])
        shapes = self.shapes.of(amounts + stepped)
        slopes = []
        for film, seen, own in zip(self.films, self.seen, self._unknowns(state), strict=True):
            exposures = exposures_at(film.station, own[None]).repeated(size + 1)
            marks, _ = project_shapes(
                exposures, self.shapes.targets, shapes, mouth_of=np.arange(size + 1)
            )
            there = seen.projected(marks)
            slopes.append((there[1:] - there[0]).T / MOUTH_STEP_SD)
        return slopes

    def _jacobian(self, state: Floats, mouth_slopes: list[Floats]) -> Floats:
        shapes = self.shapes.of(state[None, self.count :])
        each = len(NAMES)
        rows = []
        for k, (film, seen, own) in enumerate(
            zip(self.films, self.seen, self._unknowns(state), strict=True)
        ):
            steps = np.vstack([np.diag(STEP), -np.diag(STEP)])
            exposures = exposures_at(film.station, own + steps)
            marks, _ = project_shapes(exposures, self.shapes.targets, shapes)
            there = seen.projected(marks)
            row = np.zeros((seen.size, len(self.prior_mean)))
            row[:, each * k : each * (k + 1)] = (there[:each] - there[each:]).T / (2.0 * STEP)
            row[:, self.count :] = mouth_slopes[k]
            rows.append(row)
        return np.concatenate(rows)


@dataclass(frozen=True, slots=True, eq=False)
class _Seen:
    """What one film's marks say that the model projects too: where, how sure, and what is outside.

    A landmark said to be off the image costs nothing where it is projected off it, and as much as
    it lies inside otherwise.
    """

    columns: NDArray[np.intp]
    names: tuple[str, ...]
    points: Floats
    whitening: Floats
    outside: NDArray[np.intp]

    @classmethod
    def of(cls, landmarks: Landmarks, projected: tuple[str, ...]) -> "_Seen":
        place = {name: column for column, name in enumerate(projected)}
        known = [row for row, name in enumerate(landmarks.names) if name in place]
        rows = [row for row in known if landmarks.status[0, row] == Status.SEEN]
        off = [row for row in known if landmarks.status[0, row] == Status.OUTSIDE]
        names = tuple(landmarks.names[row] for row in rows)
        pair = np.array([[2 * row, 2 * row + 1] for row in rows], dtype=np.intp).ravel()
        covariance = np.zeros((len(pair), len(pair)))
        if landmarks.covariance_mm2 is not None:
            covariance += landmarks.covariance_mm2[np.ix_(pair, pair)]
        allowed = np.array([ALLOWANCE_MM[kind_of(name)] for name in names]).reshape(-1)
        covariance += np.diag(allowed**2)
        return cls(
            np.array([place[name] for name in names], dtype=np.intp),
            names,
            landmarks.points_receptor[0, rows].reshape(-1),
            np.linalg.inv(np.linalg.cholesky(covariance)) if len(pair) else np.zeros((0, 0)),
            np.array([place[landmarks.names[row]] for row in off], dtype=np.intp),
        )

    @property
    def size(self) -> int:
        return len(self.points) + len(self.outside)

    def projected(self, marks: Landmarks) -> Floats:
        """Whitened places of these marks in E projections, then how far inside, (E, size)."""
        there = marks.points_receptor[:, self.columns].reshape(len(marks), -1) @ self.whitening.T
        margin = np.minimum(marks.frame_margin_mm, marks.beam_margin_mm)[:, self.outside]
        return np.concatenate([there, np.maximum(margin, 0.0) / OUTSIDE_SD_MM], axis=1)

    def left_over(self, marks: Landmarks) -> Floats:
        """Marks less E projections, whitened."""
        wanted = np.concatenate([self.whitening @ self.points, np.zeros(len(self.outside))])
        return np.asarray(wanted - self.projected(marks))

    def by_name(self, residuals: Floats) -> dict[str, float]:
        """How many standard deviations each seen mark lies off."""
        worst = np.abs(residuals[: len(self.points)].reshape(-1, 2)).max(axis=1)
        return dict(zip(self.names, worst.tolist(), strict=True))


def kind_of(name: str) -> str:
    """Which allowance a landmark has: by its feature, or as an outline."""
    last = name.rsplit(".", 1)[1]
    return last if last in ALLOWANCE_MM else "outline"


def _separate(found: list[tuple[Floats, float]]) -> list[tuple[Floats, float]]:
    """The best, and others that lie elsewhere and are not hopelessly worse."""
    azimuth = NAMES.index("azimuth_deg")
    kept: list[tuple[Floats, float]] = []
    for state, cost in found:
        new = all(abs(state[azimuth] - other[azimuth]) > 3.0 for other, _ in kept)
        if new and (not kept or cost - kept[0][1] < 25.0):
            kept.append((state, cost))
    return kept


def _scaled(covariance: Floats) -> Floats:
    """The exposure's part of a covariance, in units of its prior."""
    size = len(NAMES)
    return covariance[:size, :size] / np.outer(SPREAD, SPREAD)


__all__ = [
    "ALLOWANCE_MM",
    "MOUTH_STEP_SD",
    "Estimate",
    "FilmEvidence",
    "Solution",
    "estimate",
    "kind_of",
]

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
from bitewright.estimation.how_unusual import strangeness, unlikeness
from bitewright.estimation.left_out import MarksLeftOut, marks_left_out
from bitewright.estimation.mouth_belief import MouthBelief
from bitewright.estimation.mouth_shapes import LastShapes, MouthShapes
from bitewright.estimation.seen_marks import SeenMarks
from bitewright.exposing.exposure import Station
from bitewright.exposing.landmarks import Landmarks
from bitewright.exposing.project import project_shapes
from bitewright.steps import Begin, unwatched

Floats = NDArray[np.float64]

STARTS_DEG = (-12.0, 0.0, 12.0)
"""Tube directions from which the search starts, about the prior's. Our choice."""

ROUNDS, REFINEMENTS, FOLLOWED = 8, 3, 3
"""Rounds of the rough search; times that the mouth's slopes are taken anew; rounds each. Our
choice."""

APART_DEG = 3.0
"""Of two solutions some film's tube stands this far apart. Our choice."""

HOPELESS = 25.0
"""A cost so much above the best's is not followed. Our choice."""

ENOUGH, REFINED = 0.1, 0.3
"""A round, and a refinement, after which the cost fell by less is the last. Our choice."""

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
        Squares of the marks' residuals and of the mouth's amounts over what is expected of them
        once the exposure has taken up its share; about 1 for marks and mouths as assumed.
    strangeness : float
        As `how_unusual.strangeness`: about 1 for mouths of the prior's spread.
    unlikeness : float
        As `how_unusual.unlikeness`: above nought marks speak for mouths that differ more.
    evidence : float
        The logarithm of how likely the marks are over all mouths and exposures, by Laplace's
        approximation about the best solution; up to what is the same under other names.
    left_out : tuple of F MarksLeftOut
        What all other marks of each film say of each.
    solutions : tuple of Solution
        Separate local bests with their shares, the best first.
    """

    films: tuple[FilmEvidence, ...]
    shapes: MouthShapes
    unknowns: Floats
    amounts: Floats
    covariance: Floats
    misfit: float
    strangeness: float
    unlikeness: float
    evidence: float
    left_out: tuple[MarksLeftOut, ...]
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

    Our model: marks about the projection with Student's tails, with an allowance for what shapes
    leave out (`allowances`); the mouth normal about the population's mean (`mouth_prior`), the
    exposure about a careful hand's (`exposure_unknowns`). The best fit by Gauss-Newton steps,
    halved while they do not help, from several starts; the spread about each by Laplace's
    approximation.

    Parameters
    ----------
    films : sequence of FilmEvidence
    shapes : MouthShapes
        The population's, or one with no directions for a known mouth.
    belief : MouthBelief or None
        What is believed of the mouth before these films; None of one that is known.
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
        self.plain = [SeenMarks.of(film.landmarks, shapes.targets.names) for film in films]
        self.seen = list(self.plain)
        self._one, self._stepped = LastShapes(shapes), LastShapes(shapes)

    def solved(self) -> Estimate:
        """The estimate, its separate solutions weighed against each other."""
        starts = [self._descended(self._start(azimuth)) for azimuth in STARTS_DEG]
        starts.sort(key=lambda found: found.cost)
        solutions = []
        for each in _separate(starts, len(self.films)):
            found, slopes = self._refined(each)
            self.seen = found.seen
            jacobian = self._jacobian(found.state, slopes)
            covariance = np.asarray(np.linalg.inv(jacobian.T @ jacobian + self.precision))
            likely = 0.5 * (float(np.linalg.slogdet(covariance)[1]) - found.cost)
            solutions.append((likely, found, covariance, jacobian))
        solutions.sort(key=lambda each: -each[0])
        shares = np.exp(np.array([each[0] - solutions[0][0] for each in solutions]))
        shares /= shares.sum()
        likely, best, covariance, jacobian = solutions[0]
        state = best.state
        return Estimate(
            films=self.films,
            shapes=self.shapes.rebuilt_at(state[self.count :], self.films[0].station.region)
            if len(self.shapes.along)
            else self.shapes,
            unknowns=state[: self.count].reshape(len(self.films), -1),
            amounts=state[self.count :],
            covariance=covariance,
            misfit=self._misfit(best, covariance),
            strangeness=self._strangeness(best, covariance),
            unlikeness=self._unlikeness(best, jacobian),
            evidence=likely + 0.5 * float(np.linalg.slogdet(self.precision)[1]),
            left_out=self._left_out(best, jacobian),
            solutions=tuple(
                Solution(each.state, own, each.cost, float(share))
                for (_, each, own, _), share in zip(solutions, shares, strict=True)
            ),
        )

    def _strangeness(self, found: "_Found", covariance: Floats) -> float:
        """How far the mouth lies from the prior's middle, in the ways that the marks tell."""
        at = slice(self.count, None)
        away = (found.state - self.prior_mean)[at]
        return strangeness(away, covariance[at, at], self.precision[at, at])

    def _unlikeness(self, found: "_Found", jacobian: Floats) -> float:
        """Whether the marks speak for a mouth beyond the prior's."""
        prior: Floats = np.asarray(np.linalg.inv(self.precision))
        away = found.state - self.prior_mean
        return unlikeness(found.seen, found.residuals, jacobian, away, prior, self.count)

    def _left_out(self, found: "_Found", jacobian: Floats) -> tuple[MarksLeftOut, ...]:
        """Each film's marks beside what its others say."""
        prior: Floats = np.asarray(np.linalg.inv(self.precision))
        away = found.state - self.prior_mean
        ends = np.cumsum([each.size for each in found.seen])
        slopes = [
            jacobian[end - each.size : end] for each, end in zip(found.seen, ends, strict=True)
        ]
        every = zip(found.seen, found.residuals, slopes, self.films, strict=True)
        return tuple(
            marks_left_out(seen, left, steep, away, prior, film.landmarks.front_sign)
            for seen, left, steep, film in every
        )

    def _misfit(self, found: "_Found", covariance: Floats) -> float:
        """Squares of marks and mouth over what is expected of them, none weighing less.

        Our model: linear about the solution and normal. Marks, mouth and exposures' prior together
        come to as many as marks have coordinates; the exposures' part is what they take up.
        """
        self.seen = [each.weighted(np.ones(len(each.points))) for each in found.seen]
        away = (found.state - self.prior_mean)[self.count :]
        mouth = float(away @ self.precision[self.count :, self.count :] @ away)
        squares = sum(float(r @ r) for r in self._residuals(found.state))
        at = slice(0, self.count)
        taken_up = self.count - float(np.trace(self.precision[at, at] @ covariance[at, at]))
        expected = sum(len(each.points) for each in self.seen) - taken_up
        return (squares + mouth) / max(expected, 1.0)

    def _start(self, azimuth: float) -> Floats:
        state = self.prior_mean.copy()
        state[: self.count].reshape(len(self.films), -1)[:, NAMES.index("azimuth_deg")] += azimuth
        return state

    def _descended(self, state: Floats) -> "_Found":
        """Rough descent: the mouth's slopes are taken once, the exposure's anew in each round."""
        self.seen = list(self.plain)
        residuals = self._residuals(state)
        found = _Found(state, self._cost(state, residuals), self.seen, residuals)
        return self._followed(found, self._mouth_slopes(state), ROUNDS)[0]

    def _refined(self, found: "_Found") -> tuple["_Found", list[Floats]]:
        """To the end, the mouth's slopes taken anew; with these, as they are there."""
        for _ in range(REFINEMENTS):
            before = found.cost
            self.seen = found.seen
            found, slopes = self._followed(found, self._mouth_slopes(found.state), FOLLOWED)
            if before - found.cost < REFINED:
                break
        return found, slopes

    def _followed(
        self, found: "_Found", slopes: list[Floats], rounds: int
    ) -> tuple["_Found", list[Floats]]:
        """Some rounds of weighing marks and stepping, along slopes of the mouth."""
        for _ in range(rounds):
            before = found.cost
            found, slopes = self._weighed(found, slopes)
            found = self._step(found, slopes)
            if before - found.cost < ENOUGH:
                break
        return found, slopes

    def _weighed(self, found: "_Found", slopes: list[Floats]) -> tuple["_Found", list[Floats]]:
        """Marks weighed anew by how far they lie off; residuals and slopes whitened by the same."""
        old = found.seen
        self.seen = [each.reweighted(left) for each, left in zip(old, found.residuals, strict=True)]
        turns = [new.turned_from(was) for new, was in zip(self.seen, old, strict=True)]
        residuals = [turn(left) for turn, left in zip(turns, found.residuals, strict=True)]
        turned = [turn(slope) for turn, slope in zip(turns, slopes, strict=True)]
        cost = self._cost(found.state, residuals)
        return _Found(found.state, cost, self.seen, residuals), turned

    def _step(self, found: "_Found", mouth_slopes: list[Floats]) -> "_Found":
        self.begin("the exposure and mouth that left these marks")
        state = found.state
        jacobian = self._jacobian(state, mouth_slopes)
        away = self.prior_mean - state
        gradient = jacobian.T @ np.concatenate(found.residuals) + self.precision @ away
        step = np.linalg.solve(jacobian.T @ jacobian + self.precision, gradient)
        for share in (1.0, 0.5, 0.25, 0.1):
            tried = state + share * step
            residuals = self._residuals(tried)
            new = self._cost(tried, residuals)
            if new < found.cost:
                return _Found(tried, new, self.seen, residuals)
        return found

    def _cost(self, state: Floats, residuals: list[Floats]) -> float:
        away = state - self.prior_mean
        marks = sum(float(r @ r) for r in residuals) + sum(each.tail_cost() for each in self.seen)
        return float(marks + away @ self.precision @ away)

    def _residuals(self, state: Floats) -> list[Floats]:
        """Marks less projection, whitened, for each film."""
        shapes = self._one.of(state[None, self.count :])
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
        shapes = self._stepped.of(amounts + stepped)
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
        shapes = self._one.of(state[None, self.count :])
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
class _Found:
    """A state, its cost, how the marks weigh there, and whitened residuals of each film."""

    state: Floats
    cost: float
    seen: list[SeenMarks]
    residuals: list[Floats]


def _separate(found: list[_Found], films: int) -> list[_Found]:
    """The best, and others that lie elsewhere and are not hopelessly worse."""
    azimuths = slice(NAMES.index("azimuth_deg"), len(NAMES) * films, len(NAMES))
    kept: list[_Found] = []
    for each in found:
        away = [np.abs(each.state - other.state)[azimuths].max() for other in kept]
        if not kept or (min(away) > APART_DEG and each.cost - kept[0].cost < HOPELESS):
            kept.append(each)
    return kept


__all__ = ["MOUTH_STEP_SD", "Estimate", "FilmEvidence", "Solution", "estimate"]

"""Invented learners who act by geometry, and how they answer items whose films are computed.

No learner knows of a model of items. Their hands scatter by degrees and millimetres, their eyes see
overlaps and margins less sharply than they are, and they take one cause for another or one
direction for the other with a chance of their own. Films are those of the planner's exposures in
several mouths, each with an error put in; whether an answer is right follows from the film.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from bitewright.competence.attempts import Skill
from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.exposing.exposure import Station, station
from bitewright.mouth.mouth import Mouth, textbook_mouth
from bitewright.mouth.outlines import build_outlines
from bitewright.planning.best_aim import Plan, best_aim
from bitewright.planning.slipped import slipped
from bitewright.quality.criteria import overlap_limits
from bitewright.quality.predicted import Asked, asked, predict
from bitewright.quality.rating import Outcome
from bitewright.quality.views import view
from bitewright.teaching.aiming import EACH_FURTHER, MOST_EXPOSURES
from bitewright.teaching.correcting import WORTH_OF

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

SKILLS = (Skill.READ, Skill.NAME, Skill.CORRECT, Skill.AIM)
"""Those that geometry decides; the two others have no film to compute."""
VIEWS = ("right-molar", "right-premolar")
RECEPTORS = ("sensor-2", "film-2")
CAUSES = 5
"""Nothing, tube to front or back, tube high or low, receptor to front or back, high or low."""
SIZES = ((4.0, 14.0), (6.0, 16.0), (3.0, 9.0), (2.5, 7.0))
"""Of errors put in, smallest and largest. [degrees, degrees, mm, mm]"""
REST_SD = np.array([0.7, 0.7, 0.5, 0.4])
"""Of the errors that are always there. [degrees, degrees, mm, mm]"""
MORE_OVERLAP_MM = 0.2
"""Than the best exposure has, of a film that serves. Our choice."""
MOST_CONTACTS = 10
"""More than any view here has."""
TEMPLATES = 60
"""Films of each cause at a station that a learner remembers."""
SIGN_UNITS = np.array([0.15, 0.15, 1.0, 1.0, 1.0, 1.0, 1.0])
"""Of each sign, what a sharp eye just sees. [mm, mm, degrees, mm, mm, mm, mm]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Learner:
    """One invented learner.

    Parameters
    ----------
    hand : float
        Spread of the horizontal angle when aiming; vertical angle and place go with it. [deg]
    bias_deg : float
        Mean of the horizontal angle against the one meant.
    eye : float
        Noise on signs, in units of what a sharp eye sees.
    confuses : float
        Chance that angles are exchanged when a cause is named: horizontal for vertical, and place
        to the front for height.
    wrong_way : float
        Chance that a correction goes the wrong way.
    size_error : float
        Spread of the log of how far is corrected.
    """

    hand: float
    bias_deg: float
    eye: float
    confuses: float
    wrong_way: float
    size_error: float


@dataclass(frozen=True, slots=True, eq=False)
class Films:
    """What can be read off films.

    Parameters
    ----------
    signs : (N, 7) float array
        Worst overlap in the upper and lower jaw, slope and offset of the occlusal plane, room
        before the edge, least bone shown above and below.
    fails : (N,) bool array
        Whether some criterion fails, or overlaps are wider than the best exposure's by more than
        0.2 mm.
    worth : (N, 10) float array
        What each contact counts on the film, as exercises of aiming count it; 0 beyond the view's.
    """

    signs: Floats
    fails: NDArray[np.bool_]
    worth: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Items:
    """Items of one skill.

    Parameters
    ----------
    place : (N,) int array
        Which station.
    cause : (N,) int array
    errors : (N, 4) float array
    films : Films
    """

    place: Ints
    cause: Ints
    errors: Floats
    films: Films

    def taken(self, which: Ints) -> "Items":
        """Some of them."""
        of = self.films
        films = Films(of.signs[which], of.fails[which], of.worth[which])
        return Items(self.place[which], self.cause[which], self.errors[which], films)


def learner(rng: np.random.Generator) -> Learner:
    """A learner drawn from all there are: from a beginner to a steady hand. Our choice."""
    return Learner(
        hand=float(np.exp(rng.uniform(np.log(1.5), np.log(10.0)))),
        bias_deg=float(rng.normal(0.0, 1.5)),
        eye=float(np.exp(rng.uniform(np.log(0.1), np.log(2.5)))),
        confuses=float(rng.beta(0.5, 3.0)),
        wrong_way=float(rng.beta(0.8, 4.0)),
        size_error=float(np.exp(rng.uniform(np.log(0.1), np.log(0.8)))),
    )


@lru_cache(maxsize=1)
def stations() -> tuple[tuple[Plan, Asked], ...]:
    """Where films are taken, each with its best exposure."""
    found = []
    for view_name in VIEWS:
        for receptor in RECEPTORS:
            at = _station(textbook_mouth(), view_name, receptor)
            plan = best_aim(view(view_name), at)
            found.append((plan, asked(plan.view, plan.station)))
    return tuple(found)


def _station(mouth: Mouth, view_name: str, receptor: str) -> Station:
    known = packaged_catalogue()
    return station(
        build_outlines(mouth),
        view(view_name).region,
        known.receptor(receptor),
        known.holder("ring-holder"),
        known.tube("rectangular-300"),
    )


def films_of(place: Ints, errors: Floats) -> Films:
    """Films at stations (N,) with errors (N, 4) put in."""
    signs, fails = np.zeros((len(place), len(SIGN_UNITS))), np.zeros(len(place), dtype=bool)
    worth = np.zeros((len(place), MOST_CONTACTS))
    for number, (plan, of) in enumerate(stations()):
        here = place == number
        if not here.any():
            continue
        found = predict(slipped(plan.station, plan.setting, errors[here]), of)
        measured = found.measurements
        upper = np.array([pair[0] < 30 for pair in measured.wanted.contacts])
        crest_upper = np.arange(measured.crest_clearance_mm.shape[1]) < upper.sum() * 2
        edge = np.hstack([
            measured.contact_margin_mm, measured.front_margin_mm, measured.last_margin_mm,
        ])  # fmt: skip
        signs[here] = np.nan_to_num(np.column_stack([
            measured.overlap_mm[:, upper].max(axis=1),
            measured.overlap_mm[:, ~upper].max(axis=1),
            measured.occlusal_slope_deg,
            measured.occlusal_offset_mm,
            edge.min(axis=1),
            measured.crest_clearance_mm[:, crest_upper].min(axis=1),
            measured.crest_clearance_mm[:, ~crest_upper].min(axis=1),
        ]), nan=-5.0)  # fmt: skip
        best = max(float(plan.prediction.measurements.overlap_mm.max()), 0.0)
        wide = measured.overlap_mm.max(axis=1) > best + MORE_OVERLAP_MM
        fails[here] = (found.rating.outcomes == Outcome.FAILED).any(axis=1) | wide
        worth[here, : found.rating.states.shape[1]] = _worth(found.rating.states)
    return Films(signs, fails, worth)


def _worth(states: NDArray[np.int8]) -> Floats:
    """What contacts in these states count, same shape."""
    counts = np.zeros(states.shape)
    for state, each in WORTH_OF.items():
        counts[states == state] = each
    return counts


def items(skill: Skill, rng: np.random.Generator, count: int) -> Items:
    """Items of a skill, drawn afresh."""
    place = rng.integers(len(stations()), size=count)
    fixed = {Skill.READ: 1, Skill.CORRECT: 1, Skill.AIM: 0}
    drawn = rng.integers(CAUSES, size=count)
    cause = np.full(count, fixed[skill]) if skill in fixed else drawn
    errors = _errors(cause, rng)
    if skill is Skill.READ:  # down to none at all
        errors[:, 0] *= rng.uniform(size=count)
    return Items(place, cause, errors, films_of(place, errors))


def _errors(cause: Ints, rng: np.random.Generator) -> Floats:
    errors: Floats = rng.normal(size=(len(cause), 4)) * REST_SD
    for part, (least, most) in enumerate(SIZES):
        here = cause == part + 1
        size = rng.uniform(least, most, here.sum())
        errors[here, part] = size * rng.choice([-1.0, 1.0], here.sum())
    return errors


@lru_cache(maxsize=1)
def _remembered() -> Items:
    """Films whose cause a learner knows, at every station, as everybody remembers them."""
    rng = np.random.default_rng(0)
    place = np.repeat(np.arange(len(stations())), CAUSES * TEMPLATES)
    cause = np.tile(np.repeat(np.arange(CAUSES), TEMPLATES), len(stations()))
    errors = _errors(cause, rng)
    return Items(place, cause, errors, films_of(place, errors))


def scores(who: Learner, skill: Skill, of: Items, rng: np.random.Generator) -> Floats:
    """How well a learner does at items, (N,)."""
    act = {
        Skill.READ: _read,
        Skill.NAME: _name,
        Skill.CORRECT: _correct,
        Skill.AIM: _aim,
    }
    return act[skill](who, of, rng)


def _read(who: Learner, of: Items, rng: np.random.Generator) -> Floats:
    """Is every upper contact open? Told from the overlap as the eye sees it."""
    overlap = of.films.signs[:, 0]
    limit = overlap_limits().open_mm
    seen = overlap + rng.normal(0.0, SIGN_UNITS[0] * who.eye, len(overlap))
    return np.asarray((seen <= limit) == (overlap <= limit), dtype=float)


def _name(who: Learner, of: Items, rng: np.random.Generator) -> Floats:
    """What went wrong? The cause of the remembered film that looks most alike, or its double."""
    known = _remembered()
    named = np.zeros(len(of.place), dtype=int)
    seen = of.films.signs / SIGN_UNITS + rng.normal(0.0, who.eye, of.films.signs.shape)
    for number in range(len(stations())):
        here, there = of.place == number, known.place == number
        films = known.films.signs[there] / SIGN_UNITS
        apart = ((seen[here][:, None, :] - films) ** 2).sum(axis=2)
        named[here] = known.cause[there][apart.argmin(axis=1)]
    swapped = np.array([0, 2, 1, 4, 3])[named]
    named = np.where(rng.random(len(named)) < who.confuses, swapped, named)
    return np.asarray(named == of.cause, dtype=float)


def _correct(who: Learner, of: Items, rng: np.random.Generator) -> Floats:
    """Which way and how far? Full marks for a film that serves, half for half the overlap."""
    count = len(of.place)
    way = np.where(rng.random(count) < who.wrong_way, -1.0, 1.0)
    moved = of.errors[:, 0] * way * np.exp(rng.normal(0.0, who.size_error, count))
    left = of.errors.copy()
    left[:, 0] -= moved
    after = films_of(of.place, left)
    before, now = of.films.signs[:, :2].max(axis=1), after.signs[:, :2].max(axis=1)
    return np.where(~after.fails, 1.0, np.where(now < before / 2.0, 0.5, 0.0))


def _aim(who: Learner, of: Items, rng: np.random.Generator) -> Floats:
    """As few exposures as can be, scored as exercises of aiming are.

    A film is followed by another while its widest overlap, as the eye sees it, is more than open;
    each correction takes away part of the error and adds half of the hand's scatter.
    """
    count = len(of.place)
    best = np.array([_worth(plan.prediction.rating.states).sum() for plan, _ in stations()])
    spread = who.hand * np.array([1.0, 0.8, 0.6, 0.4])
    errors = np.array([who.bias_deg, 0.0, 0.0, 0.0]) + rng.normal(size=(count, 4)) * spread
    shown, taken = np.zeros((count, MOST_CONTACTS)), np.zeros(count)
    goes_on = np.ones(count, dtype=bool)
    limit = overlap_limits().open_mm + MORE_OVERLAP_MM
    for _ in range(MOST_EXPOSURES):
        films = films_of(of.place[goes_on], errors[goes_on])
        shown[goes_on] = np.maximum(shown[goes_on], films.worth)
        taken[goes_on] += 1.0
        widest = films.signs[:, :2].max(axis=1)
        seen = widest + rng.normal(0.0, SIGN_UNITS[0] * who.eye, len(widest))
        goes_on[goes_on] = seen > limit
        if not goes_on.any():
            break
        errors = 0.4 * errors + rng.normal(size=errors.shape) * spread / 2.0
    of_best = np.minimum(shown.sum(axis=1) / best[of.place], 1.0)
    return np.asarray(of_best * EACH_FURTHER ** (taken - 1.0))


def drawn_learners(rng: np.random.Generator, count: int) -> Sequence[Learner]:
    """So many learners."""
    return tuple(learner(rng) for _ in range(count))


__all__ = ["SKILLS", "Items", "Learner", "drawn_learners", "items", "scores"]

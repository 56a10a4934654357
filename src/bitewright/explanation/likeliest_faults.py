"""Which of a hand's faults left a film, among all that may have: few, each of a size that matters.

An estimate spreads what it cannot split over every movement. A hand mostly does most things right:
weighing each combination of faults by how well it fits what the film tells, and by what palate and
floor do to a receptor placed like that, names the one that was likelier.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from itertools import product

import numpy as np
from numpy.typing import NDArray

from bitewright.estimation.exposure_unknowns import HELD_MM, NAMES, SPREAD, held_mm
from bitewright.explanation.correction import SD_TO_END, CauseName, Estimated, Part
from bitewright.explanation.hand_faults import FAULT_OF, FAULTS, Fault
from bitewright.explanation.harm import HARM
from bitewright.exposing.placement import Placement
from bitewright.exposing.seating import SeatPlan, seat
from bitewright.planning.best_aim import Setting

Floats = NDArray[np.float64]


CAREFUL_BESIDE = {"lingual_mm": 2.0, "turn_deg": 2.5, "tilt_deg": 2.0}
"""Deviations of what is no fault of its own. Our choice. [mm, deg]"""

ODDS = 0.3
"""Of each fault against none. Our choice."""

CLOSED_MM, CLOSED_SD_MM = 0.1, 0.2
"""How far teeth are apart where nothing holds them. Our choice."""

HELD_FROM_MM, ROOM_SD_MM = 0.7, 1.5
"""From where teeth count as held apart; how surely palate and floor are known. Our choice."""

OPEN_ODDS, OPEN_MM, OPEN_SD_MM = 0.01, 4.0, 3.0
"""Of teeth apart at either jaw though nothing would hold them so, and how far. Our choice."""

FLATTER = 0.7
"""Power of the chances by which faults are said to be the costliest: hands and mouths differ from
what is believed of them, and as reckoned they were too sure. Chosen on 80 single faults of run 931.
"""

PLACES = 16
"""Placements tried of each way to set a receptor. Our choice."""

UPPER, LOWER = NAMES.index("upper_hold"), NAMES.index("lower_hold")
FORWARD, HEIGHT_UP = NAMES.index("forward_mm"), NAMES.index("height_mm")
WAYS = (-1, 0, 1)


class HeldBy(Enum):
    """What keeps the teeth apart."""

    NOTHING = "nothing"
    ABOVE = "above"
    """The palate, or upper teeth that do not close."""
    BELOW = "below"
    """The floor of the mouth, or lower teeth that do not close."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FaultFound:
    """How likely a fault is, and how large where there is one. [1; deg or mm]

    ``costliest``: how likely it is what costs the film most, if anything does.
    """

    chance: float
    size: Estimated
    costliest: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FilmInformation:
    """What a film tells of its exposure's unknowns (10,), apart from what is believed before.

    The holds stand as the gaps they make, in millimetres: teeth apart add up, holds do not.
    """

    information: Floats
    pull: Floats

    @classmethod
    def of(
        cls, mean: Floats, covariance: Floats, before: Floats, known: Mapping[Part, float]
    ) -> "FilmInformation":
        """From the estimate and its prior's middle (10,).

        ``known``: deviation of each fault's size, the best place in a mouth that is not known
        included; how unknowns hang together is the estimate's. [deg, mm]
        """
        prior = np.diag(SPREAD**-2.0)
        there, steep = mean.copy(), np.ones(len(mean))
        for column in (UPPER, LOWER):
            there[column] = held_mm(mean[column])
            steep[column] = HELD_MM / (1.0 + np.exp(-mean[column]))
        information = (np.linalg.inv(covariance) - prior) / np.outer(steep, steep)
        pull = prior @ (mean - before) / steep + information @ there
        # What makes a size less sure than the unknown itself is as an error of what was seen.
        error = np.zeros(len(mean))
        for fault in FAULTS:
            own = float(covariance[fault.column, fault.column])
            error[fault.column] = max(known[fault.part] ** 2 - own, 0.0)
        less = np.linalg.inv(np.eye(len(mean)) + information * error)
        return cls(information=less @ information, pull=less @ pull)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class HeldThere:
    """Receptors set one way, and held by one thing or nothing: how likely, and how they lie.

    ``middle`` and ``spread`` of forward, height and the gap. [mm]
    """

    share: float
    middle: Floats
    spread: Floats


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Anatomy:
    """The best place in the estimated mouth, and how palate and floor hold receptors beside it."""

    right_place: Floats
    held: Mapping[tuple[int, int, HeldBy], HeldThere]

    @classmethod
    def about(
        cls, setting: Setting, seating: SeatPlan, unknowns: Floats, needed: Mapping[Part, float]
    ) -> "Anatomy":
        """About the best setting in a mouth, ``needed`` movements away from the unknowns (10,)."""
        right = unknowns.copy()
        for fault in FAULTS:
            right[fault.column] += needed[fault.part]
        for part, name in ((Part.TURN, "turn_deg"), (Part.TILT, "tilt_deg")):
            right[NAMES.index(name)] += needed[part]
        right[NAMES.index("lingual_mm")] = setting.lingual_mm
        return cls(right_place=right, held=_held(setting, seating))


def _held(setting: Setting, seating: SeatPlan) -> Mapping[tuple[int, int, HeldBy], HeldThere]:
    """Set a receptor each way, many times a little otherwise, and see what holds it."""
    generator = np.random.default_rng(0)
    hand = generator.standard_normal((PLACES, 5))
    by_part = {fault.part: fault for fault in FAULTS}
    along, up = by_part[Part.FORWARD], by_part[Part.HEIGHT]
    ways = list(product(WAYS, WAYS))
    forward = np.concatenate([_set(along, way, hand[:, 0]) for way, _ in ways])
    height = np.concatenate([_set(up, way, hand[:, 1]) for _, way in ways])
    repeated = np.tile(hand, (len(ways), 1))
    seated = seat(
        seating,
        Placement(
            forward_mm=setting.forward_mm + forward,
            height_mm=height,
            lingual_mm=setting.lingual_mm + np.abs(repeated[:, 2]),
            turn_deg=setting.turn_deg + CAREFUL_BESIDE["turn_deg"] * repeated[:, 3],
            tilt_deg=CAREFUL_BESIDE["tilt_deg"] * repeated[:, 4],
        ),
    )
    gaps = {HeldBy.ABOVE: seated.upper_gap_mm, HeldBy.BELOW: seated.lower_gap_mm}
    found: dict[tuple[int, int, HeldBy], HeldThere] = {}
    for k, (ahead, above) in enumerate(ways):
        mine = slice(k * PLACES, (k + 1) * PLACES)
        rows = {
            how: np.stack([forward[mine], height[mine], gap[mine]]) for how, gap in gaps.items()
        }
        shares = {}
        for how, each in rows.items():
            holding = each[2] > HELD_FROM_MM
            shares[how] = float(holding.mean())
            usual = np.stack([each[0], each[1], np.full(PLACES, OPEN_MM)])
            found[ahead, above, how] = HeldThere(
                share=(1.0 - OPEN_ODDS) * shares[how] + OPEN_ODDS,
                middle=(each[:, holding] if holding.any() else usual).mean(axis=1),
                spread=_spread(each[:, holding], along, up, (ahead, above)),
            )
        nothing = (rows[HeldBy.ABOVE][2] <= HELD_FROM_MM) & (rows[HeldBy.BELOW][2] <= HELD_FROM_MM)
        place = np.array([ahead * along.usual_off, above * up.usual_off, CLOSED_MM])
        own = [along.off_sd if ahead else along.careful, up.off_sd if above else up.careful]
        found[ahead, above, HeldBy.NOTHING] = HeldThere(
            share=(1.0 - OPEN_ODDS) * float(nothing.mean()) + OPEN_ODDS,
            middle=place,
            spread=np.diag(np.square([*own, CLOSED_SD_MM])),
        )
    return found


def _set(fault: Fault, way: int, hand: Floats) -> Floats:
    """Where a hand sets it, off one way or not."""
    spread = fault.off_sd if way else fault.careful
    return np.asarray(way * fault.usual_off + spread * hand)


def _spread(held: Floats, along: Fault, up: Fault, ways: tuple[int, int]) -> Floats:
    """Covariance (3, 3) of forward, height and gap where teeth are held apart."""
    own = [
        fault.off_sd if way else fault.careful for fault, way in zip((along, up), ways, strict=True)
    ]
    floor = np.diag(np.square([0.3 * own[0], 0.3 * own[1], ROOM_SD_MM]))
    if held.shape[1] < LEAST_HELD:
        return np.diag(np.square([*own, OPEN_SD_MM]))
    return np.asarray(np.cov(held) + floor)


LEAST_HELD = 5
"""From so many placements their spread is told by themselves. Our choice."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FaultStates:
    """Every combination of faults (S), how likely a film leaves each, and the unknowns were it so.

    Parameters
    ----------
    signs : (S, F) int array
        Of each of `FAULTS`: -1 or 1 where it is there, which way; else 0.
    held : (S,) bool array
        Whether palate, floor or teeth that do not close keep the teeth apart.
    chance : (S,) float array
        By the film alone; they come to one.
    best : (S, 10) float array
        The unknowns, were these the faults.
    covariance : (S, 10, 10) float array
    right_place : (10,) float array
        Of the best setting in the estimated mouth.
    """

    signs: NDArray[np.int64]
    held: NDArray[np.bool_]
    chance: Floats
    best: Floats
    covariance: Floats
    right_place: Floats


def fault_states(told: FilmInformation, anatomy: Anatomy) -> FaultStates:
    """Every combination of faults and what holds the teeth, weighed by a film.

    Our model: linear and normal about the estimate; each combination is a normal prior of the
    unknowns, and its chance is what it foresaw of the film (Bayes' rule, textbook algebra).
    """
    states = [(signs, how) for signs in product(WAYS, repeat=len(FAULTS)) for how in HeldBy]
    means, spreads, odds = zip(*(_believed(anatomy, *state) for state in states), strict=True)
    mean, precision = np.array(means), np.linalg.inv(np.array(spreads))
    weighed = np.einsum("nij,nj->ni", precision, mean)
    after = np.linalg.inv(precision + told.information)
    pulled = told.pull + weighed
    likely = (
        np.log(odds)
        + 0.5 * (np.linalg.slogdet(precision)[1] + np.linalg.slogdet(after)[1])
        + 0.5 * np.einsum("ni,nij,nj->n", pulled, after, pulled)
        - 0.5 * np.einsum("ni,ni->n", mean, weighed)
    )
    chance = np.exp(likely - likely.max())
    chance /= chance.sum()
    return FaultStates(
        signs=np.array([signs for signs, _ in states]),
        held=np.array([how is not HeldBy.NOTHING for _, how in states]),
        chance=chance,
        best=np.einsum("nij,nj->ni", after, pulled),
        covariance=np.asarray(after),
        right_place=anatomy.right_place,
    )


def likeliest_faults(
    states: FaultStates, foresaw: Floats | None = None
) -> Mapping[CauseName, FaultFound]:
    """Every fault with its chance, summed over all combinations of faults.

    ``foresaw`` (S,): how well each combination foresaw what is known beside the film, if anything.
    """
    beside = np.ones(len(states.chance)) if foresaw is None else foresaw
    chance = states.chance * beside
    chance /= chance.sum()
    off, variance = _sizes(states)
    costs = costs_by_cause(states)
    costliest = _costliest(np.stack(list(costs.values())), states.chance**FLATTER * beside)
    return {
        name: _found(chance[mine], off[name][mine], variance[name][mine], float(share))
        for (name, mine), share in zip(_theirs(states).items(), costliest, strict=True)
    }


def costs_by_cause(states: FaultStates) -> Mapping[CauseName, Floats]:
    """What each cause costs a film in each combination of faults, (S,); nought where it is none."""
    off, _ = _sizes(states)
    return {
        name: np.where(mine, off[name] / _HARM_OF[name], 0.0)
        for name, mine in _theirs(states).items()
    }


def _theirs(states: FaultStates) -> dict[CauseName, NDArray[np.bool_]]:
    """In which combinations (S,) each cause is there."""
    theirs = {
        name: states.signs[:, k] == sign
        for k, fault in enumerate(FAULTS)
        for sign, name in ((1, fault.above), (-1, fault.below))
    }
    place = [FAULT_OF[part] for part in (Part.FORWARD, Part.HEIGHT)]
    well_placed = (states.signs[:, place] == 0).all(axis=1)
    return theirs | {CauseName.NOT_CLOSED: states.held & well_placed}


def _sizes(states: FaultStates) -> tuple[dict[CauseName, Floats], dict[CauseName, Floats]]:
    """How far off each cause is in each combination (S,), and the variance of that."""
    off, variance = {}, {}
    for fault in FAULTS:
        column = fault.column
        for sign, name in ((1, fault.above), (-1, fault.below)):
            off[name] = sign * (states.best[:, column] - states.right_place[column])
            variance[name] = states.covariance[:, column, column]
    off[CauseName.NOT_CLOSED] = states.best[:, UPPER] + states.best[:, LOWER]
    variance[CauseName.NOT_CLOSED] = states.covariance[:, UPPER, UPPER]
    return off, variance


_HARM_OF = {
    **{name: HARM[fault.part] for fault in FAULTS for name in (fault.above, fault.below)},
    CauseName.NOT_CLOSED: HARM[Part.CLOSURE],
}


def _costliest(costs: Floats, weights: Floats) -> Floats:
    """How likely each cause (C) costs most, if one costs anything; ``costs`` (C, S) of S states."""
    most = costs.max(axis=0)
    by_cause = np.where((costs == most) & (most > 0.0), weights, 0.0).sum(axis=1)
    return np.asarray(by_cause / max(float(by_cause.sum()), 1e-300))


def _found(chance: Floats, off: Floats, variance: Floats, costliest: float) -> FaultFound:
    """Mean and spread of a size over combinations by their chances."""
    total = float(chance.sum())
    share = chance / max(total, 1e-300)
    mean = float(share @ off)
    either = SD_TO_END * float(np.sqrt(share @ (variance + (off - mean) ** 2)))
    size = Estimated(value=mean, low=mean - either, high=mean + either)
    return FaultFound(chance=total, size=size, costliest=costliest)


def _believed(
    anatomy: Anatomy, signs: tuple[int, ...], how: HeldBy
) -> tuple[Floats, Floats, float]:
    """Mean (10,), covariance (10, 10) and odds of the unknowns, were these the faults."""
    mean = anatomy.right_place.copy()
    spread = np.zeros(len(NAMES))
    for name, careful in CAREFUL_BESIDE.items():
        spread[NAMES.index(name)] = careful
    odds, way = 1.0, {}
    for fault, sign in zip(FAULTS, signs, strict=True):
        mean[fault.column] += sign * fault.usual_off
        spread[fault.column] = fault.off_sd if sign else fault.careful
        odds *= ODDS if sign else 1.0
        way[fault.part] = sign
    there = anatomy.held[way[Part.FORWARD], way[Part.HEIGHT], how]
    covariance = np.diag(spread**2)
    mean[[UPPER, LOWER]] = CLOSED_MM
    covariance[[UPPER, LOWER], [UPPER, LOWER]] = CLOSED_SD_MM**2
    rows = [FORWARD, HEIGHT_UP, LOWER if how is HeldBy.BELOW else UPPER]
    mean[rows] = [*(anatomy.right_place[rows[:2]] + there.middle[:2]), there.middle[2]]
    covariance[np.ix_(rows, rows)] = there.spread
    return mean, covariance, odds * there.share


__all__ = [
    "Anatomy",
    "FaultFound",
    "FaultStates",
    "FilmInformation",
    "HeldBy",
    "costs_by_cause",
    "fault_states",
    "likeliest_faults",
]

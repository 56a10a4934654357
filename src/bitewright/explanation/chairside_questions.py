"""What an answer from the chairside says of faults, and which question best tells them apart.

Marks do not show how rim and ring stood, nor how the receptor sat in its holder: a person who was
there may know. An answer weighs every combination of faults by how well that foresaw it, a few
answers being wrong. What is asked is whether the exposure was made as it was meant to be, which is
taken for the best one of the mouth.
"""

from collections.abc import Callable, Mapping

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

from bitewright.explanation.chairside_answers import OF_A_RING, Answers, ChairsideQuestion
from bitewright.explanation.correction import Estimated, Part
from bitewright.explanation.hand_faults import FAULT_OF, FAULTS
from bitewright.explanation.likeliest_faults import (
    FLATTER,
    LOWER,
    UPPER,
    FaultStates,
    costs_by_cause,
)

Floats = NDArray[np.float64]

WRONG = 0.1
"""How often an answer is wrong. Our choice."""

GAP_DEG, EDGE_MM, SET_MM, LEVEL_DEG, BITE_MM = 4.0, 2.5, 1.5, 4.0, 1.0
"""From where on a person sees a gap between rim and ring, an edge elsewhere, a receptor high or low
in its holder, one not level, and teeth off the bite block. Our choice. [deg, mm]"""

TURNED_INSTEAD = 0.25
"""How many of the tubes that stood off were taken there by a receptor that was turned or tilted,
rim and ring flush all the time. Our choice."""

LEAST_GAIN = 0.05
"""A question that is expected to tell less is not asked: how much surer of the costliest cause one
is after it, in nats. Chosen on 127 single faults of run 962."""


def yes_chances(states: FaultStates, question: ChairsideQuestion) -> Floats:
    """How likely the true answer is yes in each combination of faults, (S,).

    Our model: as the unknowns are believed to lie in each; a receptor turned or tilted with its
    ring leaves rim and ring flush.
    """
    return _YES[question](states)


def _beyond(states: FaultStates, part: Part, off: float, way: int) -> Floats:
    """How likely one unknown lies off its right place by more, that way, (S,)."""
    column = FAULTS[FAULT_OF[part]].column
    middle = way * (states.best[:, column] - states.right_place[column])
    return np.asarray(ndtr((middle - off) / np.sqrt(states.covariance[:, column, column])))


def _within(states: FaultStates, part: Part, off: float) -> Floats:
    return 1.0 - _beyond(states, part, off, 1) - _beyond(states, part, off, -1)


def _no_gap(states: FaultStates, part: Part) -> Floats:
    flush = _within(states, part, GAP_DEG)
    turned = np.where(states.signs[:, FAULT_OF[part]] != 0, TURNED_INSTEAD, 0.0)
    return np.asarray(flush + turned * (1.0 - flush))


def _apart_mm(states: FaultStates) -> Floats:
    """How far the teeth are off the bite block in each combination, both jaws together, (S,)."""
    return np.asarray(states.best[:, [UPPER, LOWER]].sum(axis=1))


def _closed(states: FaultStates) -> Floats:
    ends = np.array([UPPER, LOWER])
    apart = _apart_mm(states)
    sd = np.sqrt(states.covariance[:, ends[:, None], ends].sum(axis=(1, 2)))
    return np.asarray(ndtr((BITE_MM - apart) / sd))


_YES: Mapping[ChairsideQuestion, Callable[[FaultStates], Floats]] = {
    ChairsideQuestion.RIM: lambda of: _no_gap(of, Part.SWING) * _no_gap(of, Part.VERTICAL),
    ChairsideQuestion.GAP_ALONG: lambda of: 1.0 - _no_gap(of, Part.SWING),
    ChairsideQuestion.GAP_ABOVE: lambda of: 1.0 - _no_gap(of, Part.VERTICAL),
    ChairsideQuestion.BITE: _closed,
    ChairsideQuestion.FRONT: lambda of: _beyond(of, Part.FORWARD, EDGE_MM, 1),
    ChairsideQuestion.BACK: lambda of: _beyond(of, Part.FORWARD, EDGE_MM, -1),
    ChairsideQuestion.HIGH: lambda of: _beyond(of, Part.HEIGHT, SET_MM, 1),
    ChairsideQuestion.LOW: lambda of: _beyond(of, Part.HEIGHT, SET_MM, -1),
    ChairsideQuestion.LEVEL: lambda of: _within(of, Part.ROLL, LEVEL_DEG),
}


def foresaw(states: FaultStates, answers: Answers) -> Floats | None:
    """How well each combination of faults foresaw the answers, (S,); None where there are none."""
    if not answers:
        return None
    likely = np.ones(len(states.chance))
    for question, answer in _looked_once(answers).items():
        yes = _answered_yes(states, question)
        likely *= yes if answer else 1.0 - yes
    return likely


def _looked_once(answers: Answers) -> Answers:
    """Without what the same look at rim and ring says again.

    A flush rim has no gap; one that was off is told by the gap that was seen.
    """
    gaps = OF_A_RING - {ChairsideQuestion.RIM}
    if answers.get(ChairsideQuestion.RIM):
        again = gaps
    elif any(answers.get(gap) for gap in gaps):
        again = frozenset({ChairsideQuestion.RIM})
    else:
        return answers
    return {question: answer for question, answer in answers.items() if question not in again}


def _answered_yes(states: FaultStates, question: ChairsideQuestion) -> Floats:
    yes = yes_chances(states, question)
    return (1.0 - WRONG) * yes + WRONG * (1.0 - yes)


def most_telling(states: FaultStates, answers: Answers, *, ring: bool) -> ChairsideQuestion | None:
    """The question whose answer is expected to tell most of which cause is the costliest.

    By expected information (textbook); None where none is expected to tell much, or is left.

    Parameters
    ----------
    states : FaultStates
    answers : Answers
        What is known already, and not asked again.
    ring : bool
        Whether the holder has a ring.
    """
    known = foresaw(states, answers)
    weights = states.chance**FLATTER * (1.0 if known is None else known)
    costliest = _costliest_cause(states)
    gains = {
        question: _gain(weights, costliest, _answered_yes(states, question))
        for question in ChairsideQuestion
        if question not in answers
        and question is not ChairsideQuestion.RIM
        and (question not in OF_A_RING or (ring and not answers.get(ChairsideQuestion.RIM)))
    }
    best = max(gains, key=lambda question: gains[question], default=None)
    return best if best is not None and gains[best] >= LEAST_GAIN else None


def _costliest_cause(states: FaultStates) -> NDArray[np.intp]:
    """Which cause costs most in each combination (S,), in the order of `costs_by_cause`.

    One past the last where nothing costs anything.
    """
    costs = np.stack(list(costs_by_cause(states).values()))
    return np.where(costs.max(axis=0) > 0.0, costs.argmax(axis=0), len(costs))


def _gain(weights: Floats, costliest: NDArray[np.intp], yes: Floats) -> float:
    """How much less is open of the costliest cause after a question, as expected. [nats]"""
    count = int(costliest.max()) + 1
    of_yes, of_no = (
        np.bincount(costliest, weights * each, count).astype(np.float64)
        for each in (yes, 1.0 - yes)
    )
    share = float(of_yes.sum() / weights.sum())
    after = share * _entropy(of_yes) + (1.0 - share) * _entropy(of_no)
    return _entropy(of_yes + of_no) - after


def _entropy(weights: Floats) -> float:
    shares = weights[weights > 0.0] / weights.sum()
    return float(-(shares * np.log(shares)).sum())


def answered_amounts(
    amounts: dict[Part, Estimated], states: FaultStates, likely: Floats
) -> dict[Part, Estimated]:
    """Movements moved by as much as the answers move what faults are believed to have done.

    The teeth's closing goes along with how far they are believed to be apart.
    Their intervals keep their width: how often they hold is known of marks alone.

    Parameters
    ----------
    amounts : dict of Part to Estimated
        Movements needed, by marks alone. [deg, mm]
    states : FaultStates
    likely : (S,) float array
        As `foresaw` gives it.
    """
    after = states.chance * likely
    change = after / after.sum() - states.chance
    by = {fault.part: -float(change @ states.best[:, fault.column]) for fault in FAULTS}
    by[Part.CLOSURE] = float(change @ _apart_mm(states))
    return amounts | {part: _moved(amounts[part], off) for part, off in by.items()}


def _moved(amount: Estimated, by: float) -> Estimated:
    return Estimated(value=amount.value + by, low=amount.low + by, high=amount.high + by)


__all__ = ["WRONG", "answered_amounts", "foresaw", "most_telling", "yes_chances"]

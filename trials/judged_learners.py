"""Classes of invented learners, and whether what is said of each learner's skill holds.

The true level is each learner's mean score over thousands of items drawn afresh. A class is given
one set, in an order of each learner's own, or each learner is given items that nobody else has. It
is looked at after every few items, as somebody would who waits for a verdict.
"""

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from bitewright.competence.attempts import Attempt, Skill
from bitewright.competence.judging import answers_by_skill, level_of, standing_of
from bitewright.competence.school_bar import BAR
from trials.geometric_learners import Learner, drawn_learners, items, scores

Floats = NDArray[np.float64]

CLASS = 25
GIVEN = 60
"""Items that each learner answers."""
LOOKS = (5, 10, 15, 20, 25, 30, 40, 50, 60)
"""Items after which it is looked at."""
OF_TRUTH = 3000
"""Items over which the true level is the mean."""
ONE_SET, OWN = "one set", "exercises of their own"


def judged_class(seed: int, number: int, skill: Skill, way: str) -> dict[str, Any]:
    """What is said of one class at one skill: rows of learners, columns of looks.

    Returns
    -------
    dict
        ``true``: the true levels; ``low``, ``high``, ``level``, ``chance``: of each learner a list
        over looks; ``answer``: likewise.
    """
    rng = np.random.default_rng([seed, number, list(Skill).index(skill), way == OWN])
    people = drawn_learners(rng, CLASS)
    fresh = items(skill, rng, OF_TRUTH)
    true = [float(scores(each, skill, fresh, rng).mean()) for each in people]
    attempts = _attempts(people, skill, way, rng)
    told: dict[str, list[list[Any]]] = {
        name: [[] for _ in people] for name in ("low", "high", "level", "chance", "answer")
    }
    for look in LOOKS:
        of = answers_by_skill([a for row in attempts for a in row[:look]])[skill]
        for who in range(CLASS):
            found = standing_of(level_of(_code(who), of), skill, bar=BAR)
            for name in ("low", "high", "level", "chance"):
                told[name][who].append(round(getattr(found, name), 4))
            told["answer"][who].append(found.answer.value)
    return {"true": [round(each, 4) for each in true], **told}


def _attempts(
    people: Sequence[Learner], skill: Skill, way: str, rng: np.random.Generator
) -> list[list[Attempt]]:
    shared = items(skill, rng, GIVEN)
    found = []
    for who, each in enumerate(people):
        given = shared if way == ONE_SET else items(skill, rng, GIVEN)
        got = scores(each, skill, given, rng)
        order = rng.permutation(GIVEN)
        mine = "set" if way == ONE_SET else _code(who)
        found.append(
            [
                Attempt(
                    student=_code(who),
                    item=f"{mine}/{place}",
                    skill=skill,
                    topic="geometry",
                    score=float(got[place]),
                    sure=None,
                    answered_at=f"2026-01-31T09:{minute:02d}:00Z",
                )
                for minute, place in enumerate(order)
            ]
        )
    return found


def _code(who: int) -> str:
    return f"S{who + 1}"


__all__ = ["CLASS", "GIVEN", "LOOKS", "ONE_SET", "OWN", "judged_class"]

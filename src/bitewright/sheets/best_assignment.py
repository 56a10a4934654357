"""The pairs, one of each kind with one of the other, whose weights sum to most."""

from collections.abc import Mapping
from math import inf

Place = tuple[str, str]
"""What is given out, and which of several places for it."""


def best_assignment(  # noqa: C901  one step of the method a branch
    weights: Mapping[tuple[str, Place], float],
) -> dict[str, Place]:
    """Which of the others each one gets, for the largest sum; pairs without a weight are not made.

    Ones that are better left alone are left out. By shortest augmenting paths: H. W. Kuhn, "The
    Hungarian method for the assignment problem", Naval Research Logistics Quarterly 2 (1955),
    with potentials, from memory.
    """
    ones = list(dict.fromkeys(one for one, _ in weights))
    others = list(dict.fromkeys(other for _, other in weights))
    count, width = len(ones), len(others) + len(ones)  # each one may have a place to be left alone
    costs = [
        [-max(0.0, weights.get((one, other), 0.0)) for other in others] + [0.0] * count
        for one in ones
    ]
    of_ones, of_places = [0.0] * (count + 1), [0.0] * (width + 1)
    held, before = [0] * (width + 1), [0] * (width + 1)
    for one in range(1, count + 1):
        held[0], place = one, 0
        least, used = [inf] * (width + 1), [False] * (width + 1)
        while True:
            used[place] = True
            at, step, following = held[place], inf, 0
            for other in range(1, width + 1):
                if used[other]:
                    continue
                cost = costs[at - 1][other - 1] - of_ones[at] - of_places[other]
                if cost < least[other]:
                    least[other], before[other] = cost, place
                if least[other] < step:
                    step, following = least[other], other
            for other in range(width + 1):
                if used[other]:
                    of_ones[held[other]] += step
                    of_places[other] -= step
                else:
                    least[other] -= step
            place = following
            if held[place] == 0:
                break
        while place:
            held[place] = held[before[place]]
            place = before[place]
    return {
        ones[held[at] - 1]: others[at - 1]
        for at in range(1, len(others) + 1)
        if held[at] and weights.get((ones[held[at] - 1], others[at - 1]), 0.0) > 0
    }


__all__ = ["best_assignment"]

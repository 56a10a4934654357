"""Limits of the p-chart against NIST and Montgomery."""

import numpy as np

from bitewright.audit.control_chart import p_chart
from tests.published.against import check, read_source

SOURCE = read_source("nist_p_chart")
CANS = [
    12,
    15,
    8,
    10,
    4,
    7,
    16,
    9,
    14,
    10,
    5,
    6,
    17,
    12,
    22,
    8,
    10,
    5,
    13,
    11,
    20,
    18,
    24,
    15,
    9,
    12,
]
CANS += [7, 13, 9, 6]


def computed() -> dict[str, float]:
    sizes = np.full(30, 50)
    first = p_chart(CANS, sizes)
    base = np.ones(30, dtype=bool)
    base[list(first.out)] = False
    second = p_chart(CANS, sizes, base=base)
    (third,) = (k for k in second.out if base[k])
    counts = np.full(20, 102 / 19)  # sample 12 holds 15; how the other 102 lie does not matter
    counts[11] = 15
    twenty = p_chart(counts, np.full(20, 100))
    without = p_chart(counts, np.full(20, 100), base=np.arange(20) != 11)
    return {
        "share of 30 samples of 50": first.centre,
        "lower limit of 30 samples of 50": first.lows[0],
        "upper limit of 30 samples of 50": first.highs[0],
        "first sample beyond the limits": first.out[0] + 1,
        "second sample beyond the limits": first.out[1] + 1,
        "share without those two": second.centre,
        "lower limit without those two": second.lows[0],
        "upper limit without those two": second.highs[0],
        "sample then beyond the limits": third + 1,
        "share of 20 samples of 100": twenty.centre,
        "upper limit of 20 samples of 100": twenty.highs[0],
        "lower limit of 20 samples of 100": twenty.lows[0],
        "share without sample 12": without.centre,
        "upper limit without sample 12": without.highs[0],
    }


def test_agrees_with_the_source() -> None:
    check(SOURCE, computed())

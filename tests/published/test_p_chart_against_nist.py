"""Limits of the p-chart against NIST and Montgomery."""

from collections.abc import Iterable

from bitewright.audit.control_chart import ControlChart, p_chart
from tests.published.against import check, read_source

SOURCE = read_source("nist_p_chart")
CANS = [
    *(12, 15, 8, 10, 4, 7, 16, 9, 14, 10, 5, 6, 17, 12, 22),
    *(8, 10, 5, 13, 11, 20, 18, 24, 15, 9, 12, 7, 13, 9, 6),
]


def computed() -> dict[str, float]:
    first = chart_of(range(30))
    kept = [k for k in range(30) if k not in first.out]
    second = chart_of(kept)
    (third,) = second.out
    return {
        "share of 30 samples of 50": first.centre,
        "lower limit of 30 samples of 50": first.lows[0],
        "upper limit of 30 samples of 50": first.highs[0],
        "first sample beyond the limits": first.out[0] + 1,
        "second sample beyond the limits": first.out[1] + 1,
        "share without those two": second.centre,
        "lower limit without those two": second.lows[0],
        "upper limit without those two": second.highs[0],
        "sample then beyond the limits": kept[third] + 1,
    }


def chart_of(samples: Iterable[int]) -> ControlChart:
    counts = [CANS[k] for k in samples]
    return p_chart(counts, [50] * len(counts))


def test_agrees_with_the_source() -> None:
    check(SOURCE, computed())

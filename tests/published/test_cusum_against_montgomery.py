"""The tabular cusum against Montgomery."""

from bitewright.audit.cusum import tabular_cusum
from tests.published.against import check, read_source

SOURCE = read_source("montgomery_cusum")
VALUES = [9.45, 7.99, 9.29, 11.66, 12.16, 10.18, 8.04, 11.46, 9.20, 10.34, 9.03, 11.47, 10.51, 9.40]
VALUES += [10.08, 9.37, 10.62, 10.31, 8.52, 10.84, 10.90, 9.33, 12.29, 11.50, 10.60, 11.08, 10.38]
VALUES += [11.62, 11.31, 10.52]


def computed() -> dict[str, float]:
    found = tabular_cusum(VALUES, target=10.0, allowance=0.5, limit=5.0)
    assert found.signal_up is not None
    assert found.began_up is not None
    return {
        **{f"upward sum at step {k}": found.up[k - 1] for k in (4, 5, 6, 24, 28, 29, 30)},
        **{f"downward sum at step {k}": found.down[k - 1] for k in (1, 2, 3, 7, 19)},
        "step of the signal": found.signal_up + 1,
        "step the climb begins at": found.began_up + 1,
    }


def test_agrees_with_the_source() -> None:
    check(SOURCE, computed())

"""The interval of a difference against Newcombe 1998, method 10."""

from bitewright.audit.proportions import difference_of
from tests.published.against import check, read_source

SOURCE = read_source("newcombe_1998_difference")


def computed() -> dict[str, float]:
    found = {}
    for more, less in (((56, 70), (48, 80)), ((9, 10), (3, 10)), ((10, 10), (0, 20))):
        pair = difference_of(less, more)
        name = f"{more[0]} of {more[1]} less {less[0]} of {less[1]}"
        found[f"low end of the interval for {name}"] = pair.low
        if more[0] < more[1]:  # else 1, whatever the formula
            found[f"high end of the interval for {name}"] = pair.high
    return found


def test_agrees_with_the_source() -> None:
    check(SOURCE, computed())

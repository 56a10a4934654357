"""Wilson's interval against Newcombe 1998."""

from bitewright.audit.proportions import share_of
from tests.published.against import check, read_source

SOURCE = read_source("newcombe_1998_one")


def computed() -> dict[str, float]:
    found = {}
    for count, total in ((81, 263), (15, 148), (0, 20), (1, 29)):
        share = share_of(count, total)
        if count:  # else 0, whatever the formula
            found[f"low end of Wilson's interval for {count} of {total}"] = share.low
        found[f"high end of Wilson's interval for {count} of {total}"] = share.high
    return found


def test_agrees_with_the_source() -> None:
    check(SOURCE, computed())

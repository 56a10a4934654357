"""Wilson's interval on audits from the literature."""

from bitewright.audit.proportions import share_of
from tests.published.against import check, read_source

SOURCE = read_source("audit_samples_derived")
PAIRS = ((1064, 9397), (5, 100), (3, 60), (0, 50), (210, 240), (139, 240))


def computed() -> dict[str, float]:
    found = {}
    for count, total in PAIRS:
        share = share_of(count, total)
        if count:  # else 0, whatever the formula
            found[f"low end of the interval for {count} of {total}"] = 100 * share.low
        found[f"high end of the interval for {count} of {total}"] = 100 * share.high
    return found


def test_agrees_with_the_source() -> None:
    check(SOURCE, computed())

"""Funnel limits after Spiegelhalter 2005."""

from bitewright.audit.funnel import exact_limits
from tests.published.against import check, read_source

SOURCE = read_source("spiegelhalter_2005_funnel")
SIZES = (50, 100, 200, 400)


def computed() -> dict[str, float]:
    exact, wider = (exact_limits(0.05, SIZES, p) for p in (0.95, 0.998))
    found = {}
    for k, n in enumerate(SIZES):
        found[f"exact 95% high limit at {n}"] = exact.high[k]
        found[f"exact 99.8% high limit at {n}"] = wider.high[k]
        if n > 50:
            found[f"exact 95% low limit at {n}"] = exact.low[k]
    return found


def test_agrees_with_the_source() -> None:
    check(SOURCE, computed())

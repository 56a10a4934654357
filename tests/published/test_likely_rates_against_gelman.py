"""How far groups differ, after Gelman's rat tumours."""

import numpy as np

from bitewright.audit.likely_rates import likely_rates
from tests.published.against import check, read_source

SOURCE = read_source("gelman_rat_tumours")
GROUPS = (
    "0/20 0/20 0/20 0/20 0/20 0/20 0/20 0/19 0/19 0/19 0/19 0/18 0/18 0/17 1/20 1/20 1/20 1/20 "
    "1/19 1/19 1/18 1/18 2/25 2/24 2/23 2/20 2/20 2/20 2/20 2/20 2/20 1/10 5/49 2/19 5/46 3/27 "
    "2/17 7/49 7/47 3/20 3/20 2/13 9/48 10/50 4/20 4/20 4/20 4/20 4/20 4/20 4/20 10/48 4/19 4/19 "
    "4/19 5/22 11/46 12/49 5/20 5/20 6/23 5/19 6/22 6/20 6/20 6/20 16/52 15/47 15/46 9/24 4/14"
)


def computed() -> dict[str, float]:
    tumours, rats = np.array([[int(n) for n in group.split("/")] for group in GROUPS.split()]).T
    share = tumours.sum() / rats.sum()
    found = likely_rates(tumours, rats, rats * share)
    return {
        "share that groups lie about": float(found.at(share)[0].mean()),
        "standard deviation of the log odds between groups": found.spread,
    }


def test_agrees_with_the_source() -> None:
    check(SOURCE, computed())

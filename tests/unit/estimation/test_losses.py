"""A belief about mouths that may have lost bone and teeth is looser where losses show alone."""

from dataclasses import replace

import numpy as np

from bitewright.estimation.losses import BESIDE_TIMES, BONE_TIMES, GAP_TIMES, with_losses
from bitewright.estimation.mouth_belief import population

TEETH = tuple(10 * quadrant + place for quadrant in (1, 2, 3, 4) for place in range(1, 8))


def test_only_crests_and_what_stands_beside_a_lost_tooth_may_differ_more() -> None:
    before = population(tuple(code for code in TEETH if code != 16))
    after = with_losses(before, (16,))
    assert (after.mean == before.mean).all()
    times = dict(
        zip((each.name for each in after.along), np.sqrt(np.diag(after.covariance)), strict=True)
    )
    more = {name: float(value) for name, value in times.items() if value != 1.0}
    crests = {name for name in times if name.startswith("crest")}
    assert dict.fromkeys(crests, BONE_TIMES).items() <= more.items()
    assert {name: value for name, value in more.items() if name not in crests} == {
        "size upper 6": GAP_TIMES,
        **{
            f"{what} upper {place}": BESIDE_TIMES
            for what in ("tip_deg", "rotation_deg")
            for place in (5, 7)
        },
    }


def test_ways_that_go_together_go_together_still() -> None:
    alike = population(TEETH)
    size = len(alike.mean)
    alike = replace(alike, covariance=np.full((size, size), 0.3) + 0.7 * np.eye(size))
    covariance = with_losses(alike, (16,)).covariance
    deviations = np.sqrt(np.diag(covariance))
    np.testing.assert_allclose(covariance / np.outer(deviations, deviations), alike.covariance)
